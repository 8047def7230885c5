#include "halfarc/app/image_files.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "halfarc/app/make_image.h"
#include "halfarc/frames/image_writers.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

constexpr float kBrightest = 0.92F;      // of full scale: where the brightest part of the scene is put
constexpr double kBrightShare = 0.9995;  // of all samples that lie below it

// A picture of the window as a picture of the whole frame; the rest is sky, zero.
Plane<float> on_frame(const Plane<float>& part, const Window& window, int width, int height) {
  Plane<float> whole(width, height);
  for (int y = 0; y < part.height(); ++y) {
    std::copy_n(part.row(y), part.width(), whole.row(window.y + y) + window.x);
  }
  return whole;
}

std::vector<Plane<float>> on_frame(const ColourPlanes& planes, const Window& window, int width, int height) {
  std::vector<Plane<float>> whole;
  for (const Plane<float>& p : planes) {
    if (!p.empty()) whole.push_back(on_frame(p, window, width, height));
  }
  return whole;
}

std::vector<View<const float>> views(const std::vector<Plane<float>>& planes) {
  std::vector<View<const float>> result;
  for (const Plane<float>& p : planes) result.push_back(p.view());
  return result;
}

float white_level(const std::vector<Plane<float>>& planes) {
  float brightest = 0.0F;
  for (const Plane<float>& p : planes) {
    std::vector<float> values(p.samples().begin(), p.samples().end());
    const auto at = values.begin() + static_cast<std::ptrdiff_t>(kBrightShare * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), at, values.end());
    brightest = std::max(brightest, *at);
  }
  return std::max(brightest / kBrightest, 1e-3F);
}

std::string what_was_done(const MadeImage& made, std::size_t c, std::string_view colour) {
  const std::string how =
      made.method[c] == RestoreMethod::wiener
          ? "Wiener filter, signal-to-noise from two independent halves"
          : fmt::format("Richardson-Lucy, {} iterations, stopped by cross-validation", made.iterations[c]);
  return fmt::format("{}: {}; resolves {:.2f} arcsec +- {:.2f} (half true)", colour, how,
                     made.resolved[c].value.arcsec(), made.resolved[c].sigma.arcsec());
}

std::vector<std::string> history(const MadeImage& made) {
  std::vector<std::string> lines;
  for (const RecordingInfo& run : made.runs) {
    lines.push_back(fmt::format("run {}: {} frames", run.path.filename().string(), run.frames));
  }
  lines.push_back(
      fmt::format("{} of {} frames used, two halves dealt by stretches of time, each aligned to its own reference",
                  made.frames_used, made.frames_read));
  lines.push_back("raw samples accumulated where they fell, no frame demosaiced");
  if (made.local.undone > 0.0) {
    lines.push_back(fmt::format("shifts of parts against each other undone: {:.2f} px rms by {} probes, alike over {:.0f} px",
                                made.local.undone, made.local.probes, made.local.reach));
  }
  if (made.derotated) {
    lines.push_back(fmt::format("turned to {}: {} slices, north of {} {:.1f} deg clockwise from up ({})",
                                made.derotated->at.iso(0), made.derotated->slices, name_of(*made.target),
                                made.derotated->north.deg(), name_of(made.derotated->north_source)));
  }
  if (!made.mono) {
    const auto& red = made.colour_offset[0].offset;
    const auto& blue = made.colour_offset[2].offset;
    lines.push_back(fmt::format("red moved by ({:.2f}, {:.2f}) and blue by ({:.2f}, {:.2f}) pixels onto green", -red.x,
                                -red.y, -blue.x, -blue.y));
  }
  lines.push_back(
      fmt::format("air measured from the frames: D/r0 {:.2f} +- {:.2f}, local shifts {:.2f} px rms, "
                  "motion within an exposure {:.2f} px rms",
                  made.blur.d_over_r0.value, made.blur.d_over_r0.sigma, made.blur.local_shift.value, made.blur.smear));
  static constexpr std::string_view names[] = {"red", "green", "blue"};
  for (std::size_t c = 0; c < 3; ++c) {
    if (made.mono && c != 1) continue;
    lines.push_back(what_was_done(made, c, made.mono ? "mono" : names[c]));
  }
  lines.push_back(fmt::format("restoration strength {:.2f} (1 is as measured); sky level taken off", made.strength));
  return lines;
}

std::vector<FitsCard> cards(const MadeImage& made, const RecordingInfo& info) {
  std::vector<FitsCard> result;
  if (made.reference) {
    const std::string middle = made.reference->iso(3);
    result.push_back({"DATE-AVG", middle.substr(0, middle.size() - 1), "middle of the frames used, UTC"});
    result.push_back({"DATE-OBS", (*made.reference - 0.5 * *made.span).iso(3).substr(0, 23), "first frame used, UTC"});
    result.push_back({"TELAPSE", made.span->s(), "[s] first to last frame used"});
    result.push_back({"TIMESYS", std::string("UTC"), ""});
  }
  result.push_back({"NFRAMES", static_cast<std::int64_t>(made.frames_used), "frames in the mean"});
  result.push_back({"NREAD", static_cast<std::int64_t>(made.frames_read), "frames in the runs"});
  result.push_back({"PIXSCALE", made.aperture.scale.arcsec_per_px(), "[arcsec/pixel]"});
  result.push_back({"APTDIA", made.aperture.pupil.diameter.mm(), "[mm] aperture"});
  result.push_back({"RESOLVED", made.resolved[1].value.arcsec(), "[arcsec] period resolved, green: half true"});
  result.push_back({"RESOLERR", made.resolved[1].sigma.arcsec(), "[arcsec] its standard error"});
  if (made.target) result.push_back({"OBJECT", std::string(sky::name_of(*made.target)), ""});
  const auto& first = made.runs.front();
  if (first.exposure) result.push_back({"EXPTIME", first.exposure->s(), "[s] of one frame"});
  if (made.derotated) {
    result.push_back({"POLEANG", made.derotated->north.deg(), "[deg] north of the globe, clockwise from up"});
    result.push_back({"MIRRORED", made.derotated->mirrored, "image seen as in a mirror"});
    if (made.span) result.push_back({"DEROTATE", made.span->s(), "[s] span turned back to the middle"});
  }
  result.push_back({"BUNIT", std::string("adu"), "linear, sky taken off"});
  if (is_bayer(info.mosaic)) result.push_back({"CAMCOLOR", std::string(name(info.mosaic)), "mosaic of the camera"});
  for (const std::string& line : history(made)) result.push_back({"HISTORY", line, ""});
  return result;
}

}  // namespace

std::vector<fs::path> image_file_names(const fs::path& output) {
  fs::path tiff = output;
  fs::path png = output;
  return {output, tiff.replace_extension(".tif"), png.replace_extension(".png")};
}

Result<std::vector<fs::path>> write_image_files(const RestoredImage& image, const Window& window,
                                                const RecordingInfo& info, const MadeImage& made,
                                                const fs::path& output) {
  const auto whole = [&](const ColourPlanes& planes) { return on_frame(planes, window, info.width, info.height); };
  const std::vector<Plane<float>> restored = whole(image.restored);
  const std::vector<Plane<float>> stack = whole(image.mean);
  const std::vector<Plane<float>> first = whole(image.halves[0]);
  const std::vector<Plane<float>> second = whole(image.halves[1]);
  const Plane<float> trust = on_frame(image.trust, window, info.width, info.height);
  const std::vector<ImageLayer> layers = {{"IMAGE", views(restored)},
                                          {"STACK", views(stack)},
                                          {"TRUST", {trust.view()}},
                                          {"HALF1", views(first)},
                                          {"HALF2", views(second)}};
  HALFARC_CHECK(write_fits_image(output, layers, cards(made, info)));

  PictureForm form;
  form.white = white_level(restored);
  form.taken = made.reference;
  form.description = fmt::format("{} of {} frames; resolves {:.2f} arcsec", made.frames_used, made.frames_read,
                                 made.resolved[1].value.arcsec());
  for (const std::string& line : history(made)) form.texts.push_back({"Comment", line});
  std::vector<fs::path> names = image_file_names(output);
  HALFARC_CHECK(write_tiff_image(names[1], views(restored), form));

  form.tone = Tone::screen;
  HALFARC_CHECK(write_png_image(names[2], views(restored), form));
  return names;
}

}  // namespace halfarc
