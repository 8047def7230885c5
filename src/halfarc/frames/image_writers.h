// Finished images on disk: FITS in float32 with its proof, TIFF and PNG in 16 bits for everybody else.
//
// All are written complete or not at all (base/atomic_file.h). Row 0 is the top row. FITS keeps the values as they are;
// TIFF and PNG map `black` to 0 and `white` to 65535 linearly, clip beyond, and hold 0 where the image has no value
// (NaN). Nothing else is done to the brightness unless the curve of screens is asked for.
#pragma once

#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/frames/fits_card.h"
#include "halfarc/frames/plane.h"

namespace halfarc {

// Planes of one size that belong together: red, green and blue, or one alone.
struct ImageLayer {
  std::string name;  // of the FITS extension (STACK, TRUST, HALF1, ...); of no use for the primary image
  std::vector<View<const float>> planes;
};

// The first layer becomes the primary image, each further one an image extension of its name. One plane makes two
// axes, several make NAXIS3 planes. `cards` go into the primary header.
// Errors: no planes, planes of different sizes, a keyword that is none (mistakes of the caller); cannot write.
Result<void> write_fits_image(const std::filesystem::path& path, std::span<const ImageLayer> layers,
                              std::span<const FitsCard> cards);

struct ImageText {
  std::string keyword;  // PNG: 1 to 79 characters of Latin-1, such as "Title", "Description", "Comment", or our own
  std::string text;     // UTF-8
};

// How light becomes a sample: in proportion, for further work; or through the curve that screens expect
// (IEC 61966-2-1, "sRGB"), to be looked at. PNG says in the file which it is.
enum class Tone { linear, screen };

// The curve of IEC 61966-2-1. Valid: 0 <= linear <= 1.
float screen_curve(float linear);

struct PictureForm {
  Tone tone = Tone::linear;
  float black = 0.0F;
  float white = 1.0F;
  std::vector<ImageText> texts;
  std::string description;  // what it shows: PNG Description, TIFF ImageDescription
  std::string software = "halfarc";
  std::optional<Utc> taken;  // middle of the run: PNG "Creation Time", TIFF DateTime (UTC)
};

// `planes`: one (grey) or three (red, green, blue), of one size. Errors: as above; white not above black; larger than
// the format allows.
Result<void> write_png_image(const std::filesystem::path& path, std::span<const View<const float>> planes,
                             const PictureForm& form);

// As above; texts beyond the description are appended to it, one "keyword: text" a line, since TIFF has no field for
// them.
Result<void> write_tiff_image(const std::filesystem::path& path, std::span<const View<const float>> planes,
                              const PictureForm& form);

}  // namespace halfarc
