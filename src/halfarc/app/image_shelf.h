// ImageShelf: the finished images that the pages made, in the folder `images` of the home folder: for each its FITS,
// TIFF and PNG and, beside them, the document halfarc.image/1 that tells how it was made.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "halfarc/app/screen_view.h"
#include "halfarc/base/angle.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/sky/body.h"

namespace halfarc {

struct ShelvedImage {
  std::string id;  // 16 hexadecimal digits, of its name
  std::string name;
  std::filesystem::path fits;  // its TIFF, PNG and JSON lie beside it
  Utc made;
};

// Newest first.
std::vector<ShelvedImage> images_in(const std::filesystem::path& home);
std::optional<ShelvedImage> find_image(const std::filesystem::path& home, const std::string& id);

// The document halfarc.image/1. Errors: it is gone.
Result<std::string> image_document(const ShelvedImage& image);

// {id, name, utc, words, width, height, outputs} for a list. Errors: as above.
Result<std::string> image_summary_json(const ShelvedImage& image);

// A finished file: "fits", "tif" or "png". Errors (bad input): no such form, or gone.
Result<std::filesystem::path> image_file(const ShelvedImage& image, const std::string& form);

// "image", "stack", "half1", "half2" or "trust" as a PNG; the four first on one scale of brightness, so that they can
// be compared by eye. Errors (bad input): no such part; too large.
Result<std::string> image_view(const ShelvedImage& image, const std::string& part, ScreenView view);

struct ImageWish {
  std::vector<std::filesystem::path> runs;
  std::string detail = "as-measured";  // or "softer", "harder"
  double keep_percent = 0.0;           // nil: as measured
  std::string name;                    // empty: of the first run
  std::optional<sky::Body> target;     // whose turning is undone, as seen from the owner's place; nothing: none
  std::optional<Angle> north;          // of its globe on the image, clockwise from up; nothing: from the data
};
// Errors (bad input): no run, a detail or share that there is not.
Result<void> check_wish(const ImageWish& wish);

// Makes an image with the owner's rig, shelves it and writes it into the logbook. Its name is cleaned of what does not
// belong into a file's name and made new by a number where it is taken. Errors: a wish that cannot be; those of
// make_image.
Result<ShelvedImage> make_for_shelf(const std::filesystem::path& home, const ImageWish& wish, Threads threads,
                                    Progress& progress);

}  // namespace halfarc
