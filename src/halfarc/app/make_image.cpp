#include "halfarc/app/make_image.h"

#include <algorithm>
#include <cmath>

#include "halfarc/app/image_files.h"
#include "halfarc/app/keep_originals.h"
#include "halfarc/app/stack_runs.h"
#include "halfarc/base/atomic_file.h"
#include "halfarc/base/stopwatch.h"
#include "halfarc/restore/starlet.h"

namespace halfarc {
namespace {

// The TIFF and the PNG take the image's name with their own endings, so it must not have one of those.
Result<void> check_name(const std::filesystem::path& output) {
  const std::filesystem::path ending = output.extension();
  if (ending == ".fits" || ending == ".fit" || ending == ".fts") return {};
  return Error{ErrorKind::usage, "the image is a FITS file", output.string(), "end its name in .fits"};
}

// The level that 99 % of the scene stay below, above the sky.
double bright_level(const Plane<float>& plane, const Plane<float>& scene) {
  std::vector<float> values;
  for (std::size_t i = 0; i < plane.count(); ++i) {
    if (scene.samples()[i] > 0.5F) values.push_back(plane.samples()[i]);
  }
  if (values.empty()) return 1.0;
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(0.99 * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return std::max(1e-3, static_cast<double>(*at));
}

void describe(const RestoredImage& image, const Aperture& aperture, MadeImage& made) {
  made.agreement = image.agreement;
  made.colour_offset = image.colour_offset;
  made.method = image.method;
  made.iterations = image.iterations;
  made.blur = image.blur;
  made.mono = image.restored[0].empty();
  Plane<std::uint8_t> on_scene(image.scene.width(), image.scene.height());
  double scene = 0.0;
  double trusted = 0.0;
  for (std::size_t i = 0; i < on_scene.count(); ++i) {
    on_scene.samples()[i] = image.scene.samples()[i] > 0.5F ? 1 : 0;
    scene += on_scene.samples()[i];
    trusted += on_scene.samples()[i] != 0 && image.trust.samples()[i] >= 0.5F ? 1.0 : 0.0;
  }
  made.trusted_share = scene > 0.0 ? trusted / scene : 0.0;
  for (std::size_t c = 0; c < 3; ++c) {
    if (image.restored[c].empty()) continue;
    const Measured<double>& f = image.resolved[c];
    const Angle period = aperture.scale.angle(1.0 / std::max(f.value, 1e-3));
    made.resolved[c] = {period, period * (f.sigma / std::max(f.value, 1e-3))};
    const double level = bright_level(image.mean[c], image.scene);
    made.noise[c] = image.noise[c] / level;
    made.stack_noise[c] = noise_from_finest_detail(image.mean[c], on_scene) / level;
  }
}

void warn(const MakeOptions& options, MadeImage& made) {
  for (const RecordingInfo& info : made.runs) {
    for (const std::string& note : info.notes) made.warnings.push_back(info.path.filename().string() + ": " + note);
  }
  if (options.scale_source == ScaleSource::default_rig) {
    made.warnings.push_back(
        "the scale is that of the default rig; describe yours in rig.toml (halfarc init) or give --scale ARCSEC");
  }
  if (!made.enough_frames()) {
    made.warnings.push_back("the data are too few: " + std::to_string(made.frames_used) + " frames, and fewer than " +
                            std::to_string(kEnoughFrames) +
                            " prove little; take what the picture shows as a hint, and record longer");
  }
  if (!made.blur.measured) {
    made.warnings.push_back("the frames did not say how much the air blurred them; a usual night was assumed");
  }
  if (made.runs.size() > 1 && !made.derotated) {
    made.warnings.push_back(
        "several runs are laid on each other as they are: give --target to undo the planet's spin between them");
  }
}

}  // namespace

Result<FinishedImage> make_image(const MakeOptions& options, Progress& progress) {
  if (options.runs.empty()) return bad_input("no run was given", {}, "name at least one recording");
  HALFARC_CHECK(keep_originals(options.runs, image_file_names(options.output)));
  HALFARC_CHECK(check_name(options.output));
  HALFARC_CHECK(AtomicFile::create(options.output));  // found out now rather than after the work
  Stopwatch whole;
  Stopwatch watch;
  MadeImage made;
  made.aperture = options.aperture;
  made.scale_source = options.scale_source;
  made.strength = options.strength;

  HALFARC_TRY(StackedRuns stacked,
              stack_runs(options.runs, options.kept_fraction, options.threads, progress, options.derotate));
  const Stack& stack = stacked.stack;
  made.runs = stacked.runs;
  made.frames_read = stacked.frames_read;
  made.frames_used = stacked.frames_used;
  made.reference = stacked.reference;
  made.span = stacked.span;
  made.derotated = stacked.derotated;
  if (options.derotate) made.target = options.derotate->body;
  made.selection = stacked.selection;
  made.local = stack.local;
  made.seconds.read_and_grade = stacked.seconds_graded;
  made.seconds.align = stack.seconds.align;
  made.seconds.select = stack.seconds.select;
  made.seconds.stack = stack.seconds.accumulate;
  made.seconds.derotate = stacked.seconds_derotated;

  watch.lap();
  progress.report("restore", 0, 1);
  RestoredImage image = restore_image(stack, {options.aperture, options.strength, options.threads});
  progress.report("restore", 1, 1);
  made.seconds.restore = watch.lap();
  if (progress.stop_requested()) return cancelled();

  describe(image, options.aperture, made);
  warn(options, made);
  const RecordingInfo& info = made.runs.front();
  HALFARC_TRY(made.outputs, write_image_files(image, stack.window, info, made, options.output));
  made.seconds.write = watch.lap();
  if (options.flashes) {
    HALFARC_TRY(made.flashes, look_for_flashes(options.runs, options.output, options.threads, progress));
  }
  made.seconds.total = whole.lap();
  return FinishedImage{std::move(made), std::move(image), stack.window};
}

}  // namespace halfarc
