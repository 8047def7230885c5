#include "halfarc/app/image_shelf.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <fstream>
#include <iterator>
#include <tuple>
#include <utility>

#include "halfarc/app/clip_shelf.h"
#include "halfarc/app/here.h"
#include "halfarc/app/keep_log.h"
#include "halfarc/app/learned.h"
#include "halfarc/app/make_document.h"
#include "halfarc/app/make_image.h"
#include "halfarc/base/atomic_file.h"
#include "halfarc/base/file_status.h"
#include "halfarc/frames/fits_header.h"
#include "halfarc/frames/fits_layer.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 3> kForms{"fits", "tif", "png"};
constexpr std::size_t kLongestName = 60;

fs::path beside(const ShelvedImage& image, const std::string& ending) {
  fs::path path = image.fits;
  return path.replace_extension(ending);
}

bool is_file(const fs::path& path) {
  const auto status = file_status(path, Links::told);
  return status && status->kind == FileKind::file;
}

Utc written(const fs::path& path) {
  const auto status = file_status(path, Links::told);
  return status ? status->written : Utc();
}

// Letters, digits, hyphens and underscores of any name.
std::string clean(const std::string& name) {
  std::string kept;
  for (const char c : name) {
    const bool plain =
        (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' || c == '-';
    if (plain) kept.push_back(c);
    if (!plain && !kept.empty() && kept.back() != '-') kept.push_back('-');
  }
  while (kept.ends_with('-')) kept.pop_back();
  while (kept.starts_with('-')) kept.erase(0, 1);
  return kept.empty() ? "image" : kept.substr(0, kLongestName);
}

fs::path free_name(const fs::path& folder, const std::string& name) {
  fs::path path = folder / (name + ".fits");
  for (int number = 2; fs::exists(fs::symlink_status(path)); ++number)
    path = folder / (name + "-" + std::to_string(number) + ".fits");
  return path;
}

Result<MakeOptions> options_of(const fs::path& home, const ImageWish& wish, Threads threads) {
  MakeOptions make;
  make.runs = wish.runs;
  make.threads = threads;
  make.kept_fraction = wish.keep_percent / 100.0;
  if (wish.detail == "softer") make.strength = 0.8;
  if (wish.detail == "harder") make.strength = 1.2;
  HALFARC_TRY(const auto owned, solved_rig_of_home(home));
  if (owned) {
    const ScaleOfRig scale = scale_of_rig(owned->rig, owned->train, home);
    make.aperture = {owned->train.pupil, scale.scale};
    make.scale_source = scale.source;
  }
  if (wish.target) {
    HALFARC_TRY(const Here here, find_here("", home));
    DerotateRequest turning;
    turning.body = *wish.target;
    turning.site = here.place.site;
    turning.aperture = make.aperture;
    turning.north = wish.north;
    make.derotate = turning;
  }
  const fs::path folder = home / "images";
  std::error_code problem;
  fs::create_directories(folder, problem);
  if (problem) return failed("the folder cannot be made: " + problem.message(), folder.string(), "make room for it");
  make.output = free_name(folder, clean(wish.name.empty() ? wish.runs.front().stem().string() : wish.name));
  return make;
}

}  // namespace

std::vector<ShelvedImage> images_in(const fs::path& home) {
  std::vector<ShelvedImage> images;
  std::error_code problem;
  for (fs::directory_iterator at(home / "images", problem), end; !problem && at != end; at.increment(problem)) {
    const fs::path path = at->path();
    if (path.extension() != ".fits" || !is_file(path)) continue;
    ShelvedImage image{id_of_name(path.stem().string()), path.stem().string(), path, written(path)};
    if (is_file(beside(image, ".json"))) images.push_back(std::move(image));
  }
  std::sort(images.begin(), images.end(), [](const ShelvedImage& a, const ShelvedImage& b) {
    return std::tie(b.made, b.name) < std::tie(a.made, a.name);
  });
  return images;
}

std::optional<ShelvedImage> find_image(const fs::path& home, const std::string& id) {
  for (ShelvedImage& image : images_in(home)) {
    if (image.id == id) return std::move(image);
  }
  return std::nullopt;
}

Result<std::string> image_document(const ShelvedImage& image) {
  const fs::path path = beside(image, ".json");
  std::ifstream in(path, std::ios::binary);
  std::string text{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
  if (!in || !nlohmann::json::accept(text)) return bad_input("cannot be read", path.string(), "make the image again");
  return text;
}

Result<std::string> image_summary_json(const ShelvedImage& image) {
  HALFARC_TRY(const std::string text, image_document(image));
  const auto document = nlohmann::json::parse(text);
  HALFARC_TRY(const FitsHeader header, read_fits_header(image.fits));
  nlohmann::json summary{
      {"id", image.id},          {"name", image.name},       {"utc", document.value("reference_utc", image.made.iso())},
      {"width", header.axes[0]}, {"height", header.axes[1]}, {"outputs", nlohmann::json::array()}};
  const auto& resolution = document["resolution"];
  summary["words"] = fmt::format("{} frames; detail of {:.2f} arcsec is proven", document.value("frames_used", 0),
                                 resolution.value("arcsec", 0.0));
  for (const std::string_view form : kForms) {
    if (image_file(image, std::string(form))) summary["outputs"].push_back(form);
  }
  return summary.dump();
}

Result<fs::path> image_file(const ShelvedImage& image, const std::string& form) {
  if (std::find(kForms.begin(), kForms.end(), form) == kForms.end())
    return bad_input("an image has no such form", form, "ask for fits, tif or png");
  const fs::path path = beside(image, "." + form);
  if (!is_file(path)) return bad_input("is gone", path.filename().string(), "make the image again");
  return path;
}

Result<std::string> image_view(const ShelvedImage& image, const std::string& part, ScreenView view) {
  static const std::array<std::pair<std::string_view, const char*>, 5> layers{
      {{"image", ""}, {"stack", "STACK"}, {"half1", "HALF1"}, {"half2", "HALF2"}, {"trust", "TRUST"}}};
  const auto layer = std::find_if(layers.begin(), layers.end(), [&](const auto& l) { return l.first == part; });
  if (layer == layers.end())
    return bad_input("an image has no such part", part, "ask for image, stack, half1, half2 or trust");
  HALFARC_TRY(const auto planes, read_fits_layer(image.fits, layer->second));
  if (part == "trust") {
    view.screen_curve = false;
    return screen_view(planes, view);
  }
  HALFARC_TRY(const auto reference, read_fits_layer(image.fits, "STACK"));
  view.white = std::max(1e-6F, level_below(reference, 0.9995) / 0.92F);
  return screen_view(planes, view);
}

Result<void> check_wish(const ImageWish& wish) {
  if (wish.runs.empty()) return bad_input("no run was named", "", "choose one or more recordings");
  if (wish.keep_percent != 0.0 && !(wish.keep_percent >= 0.1 && wish.keep_percent <= 100.0))
    return bad_input("this share of the frames cannot be kept", std::to_string(wish.keep_percent), "say 0.1 to 100");
  if (wish.detail != "softer" && wish.detail != "harder" && wish.detail != "as-measured")
    return bad_input("there is no such detail", wish.detail, "say softer, as-measured or harder");
  return {};
}

Result<ShelvedImage> make_for_shelf(const fs::path& home, const ImageWish& wish, Threads threads, Progress& progress) {
  HALFARC_CHECK(check_wish(wish));
  HALFARC_TRY(const MakeOptions make, options_of(home, wish, threads));
  HALFARC_TRY(const FinishedImage finished, make_image(make, progress));
  const std::string name = make.output.stem().string();
  ShelvedImage image{id_of_name(name), name, make.output, Utc::now()};
  HALFARC_CHECK(write_file(beside(image, ".json"), make_json(finished.made)));
  // The image is there; a logbook that cannot be written does not take it away.
  if (auto log = open_owner_log(home)) {
    [[maybe_unused]] const auto kept = keep_image(*log, finished.made, Utc::now());
  }
  return image;
}

}  // namespace halfarc
