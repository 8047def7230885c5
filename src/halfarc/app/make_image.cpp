#include "halfarc/app/make_image.h"

#include <algorithm>
#include <cmath>
#include <memory>

#include "halfarc/app/image_files.h"
#include "halfarc/app/keep_originals.h"
#include "halfarc/base/atomic_file.h"
#include "halfarc/base/stopwatch.h"
#include "halfarc/measure/index.h"
#include "halfarc/restore/combine.h"
#include "halfarc/restore/starlet.h"

namespace halfarc {
namespace {

constexpr double kMarginShare = 0.35;   // of the disc's diameter, free sky left around it
constexpr int kLeastMargin = 24;        // pixels
constexpr double kSurfaceBorder = 0.5;  // share of the frame's border that is lit when the scene fills the frame
constexpr double kFewFrames = 100;

// One run, opened and graded.
struct GradedRun {
  std::unique_ptr<Recording> recording;
  std::vector<GradedFrame> frames;
  double x0 = 1e9, y0 = 1e9, x1 = -1e9, y1 = -1e9;  // box of the scene over all frames
  bool fills_frame = false;
};

Result<GradedRun> grade_run(const std::filesystem::path& path, Threads threads, Progress& progress) {
  GradedRun run;
  HALFARC_TRY(run.recording, open_recording(path));
  StreamOptions stream;
  stream.threads = threads;
  HALFARC_TRY(const RecordingIndex index, index_recording(*run.recording, stream, progress));
  double border = 0.0;
  for (std::size_t i = 0; i < index.frames.size(); ++i) {
    const FrameIndex& f = index.frames[i];
    if (!f.found) continue;
    run.frames.push_back({i, f.centroid, static_cast<double>(f.sharpness)});
    const double reach_x = 2.0 * static_cast<double>(f.width_x);  // of a uniform disc: its radius
    const double reach_y = 2.0 * static_cast<double>(f.width_y);
    run.x0 = std::min(run.x0, f.centroid.x - reach_x);
    run.x1 = std::max(run.x1, f.centroid.x + reach_x);
    run.y0 = std::min(run.y0, f.centroid.y - reach_y);
    run.y1 = std::max(run.y1, f.centroid.y + reach_y);
    border += static_cast<double>(f.lit_border);
  }
  if (run.frames.empty()) {
    return bad_input("no frame shows a planet or a surface", path.string(), "look at it with `halfarc check`");
  }
  run.fills_frame = border > kSurfaceBorder * static_cast<double>(run.frames.size());
  return run;
}

// The TIFF and the PNG take the image's name with their own endings, so it must not have one of those.
Result<void> check_name(const std::filesystem::path& output) {
  const std::filesystem::path ending = output.extension();
  if (ending == ".fits" || ending == ".fit" || ending == ".fts") return {};
  return Error{ErrorKind::usage, "the image is a FITS file", output.string(), "end its name in .fits"};
}

Result<void> check_alike(const GradedRun& first, const GradedRun& run) {
  const RecordingInfo& a = first.recording->info();
  const RecordingInfo& b = run.recording->info();
  if (a.width == b.width && a.height == b.height && a.mosaic == b.mosaic) return {};
  return bad_input("its frames differ in size or colour from those of the first run", b.path.string(),
                   "make an image of runs with the same camera settings");
}

// A window of one size for all runs, placed on each run's own scene.
std::vector<Window> windows_for(const std::vector<GradedRun>& runs) {
  double width = 0.0;
  double height = 0.0;
  bool fills = false;
  for (const GradedRun& run : runs) {
    width = std::max(width, run.x1 - run.x0);
    height = std::max(height, run.y1 - run.y0);
    fills = fills || run.fills_frame;
  }
  const int margin = std::max(kLeastMargin, static_cast<int>(kMarginShare * std::max(width, height)));
  std::vector<Window> windows;
  for (const GradedRun& run : runs) {
    const RecordingInfo& info = run.recording->info();
    if (fills) {
      windows.push_back({0, 0, info.width & ~1, info.height & ~1});
      continue;
    }
    const double cx = 0.5 * (run.x0 + run.x1);
    const double cy = 0.5 * (run.y0 + run.y1);
    windows.push_back(window_around(cx - width / 2, cy - height / 2, cx + width / 2, cy + height / 2, margin,
                                    info.width, info.height));
  }
  return windows;
}

// Middle and span of the frames used, if every run has times.
void find_times(const std::vector<GradedRun>& runs, const std::vector<std::vector<AlignedFrame>>& kept,
                MadeImage& made) {
  std::optional<Utc> first, last;
  for (std::size_t r = 0; r < runs.size(); ++r) {
    const std::vector<Utc>& times = runs[r].recording->info().times;
    if (times.empty() || kept[r].empty()) return;
    const Utc begin = times[kept[r].front().number];
    const Utc end = times[kept[r].back().number];
    first = first ? std::min(*first, begin) : begin;
    last = last ? std::max(*last, end) : end;
  }
  if (!first) return;
  made.span = *last - *first;
  made.reference = *first + 0.5 * *made.span;
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

void warn(const std::vector<GradedRun>& runs, const MakeOptions& options, MadeImage& made) {
  for (const GradedRun& run : runs) {
    const RecordingInfo& info = run.recording->info();
    for (const std::string& note : info.notes) made.warnings.push_back(info.path.filename().string() + ": " + note);
  }
  if (options.scale_source == ScaleSource::default_rig) {
    made.warnings.push_back(
        "the scale is that of the default rig; describe yours in rig.toml (halfarc init) or give --scale ARCSEC");
  }
  if (static_cast<double>(made.frames_used) < kFewFrames) {
    made.warnings.push_back("only " + std::to_string(made.frames_used) +
                            " frames were used: little can be proven from so few");
  }
  if (!made.blur.measured) {
    made.warnings.push_back("the frames did not say how much the air blurred them; a usual night was assumed");
  }
  if (runs.size() > 1) {
    made.warnings.push_back(
        "several runs are laid on each other as they are: the planet's spin between them is not undone");
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

  std::vector<GradedRun> runs;
  for (const std::filesystem::path& path : options.runs) {
    HALFARC_TRY(GradedRun run, grade_run(path, options.threads, progress));
    if (!runs.empty()) HALFARC_CHECK(check_alike(runs.front(), run));
    made.frames_read += run.recording->info().frames;
    made.runs.push_back(run.recording->info());
    runs.push_back(std::move(run));
  }
  made.seconds.read_and_grade = watch.lap();

  const std::vector<Window> windows = windows_for(runs);
  std::vector<Stack> stacks;
  std::vector<std::vector<AlignedFrame>> kept;
  for (std::size_t r = 0; r < runs.size(); ++r) {
    StackOptions stacking;
    stacking.kept_fraction = options.kept_fraction;
    stacking.threads = options.threads;
    if (runs[r].fills_frame) {
      // A surface has no centroid worth following: look for it around where it was.
      for (GradedFrame& f : runs[r].frames) f.place = {};
      stacking.reach = 0.25 * std::min(windows[r].width, windows[r].height);
    }
    HALFARC_TRY(Stack stack, stack_frames(*runs[r].recording, runs[r].frames, windows[r], stacking, progress));
    made.frames_used += stack.kept.size();
    kept.push_back(stack.kept);
    stacks.push_back(std::move(stack));
  }
  made.selection = stacks.front().selection;
  find_times(runs, kept, made);
  HALFARC_TRY(const Stack stack, combine_stacks(std::move(stacks)));
  made.seconds.align = stack.seconds.align;
  made.seconds.select = stack.seconds.select;
  made.seconds.stack = stack.seconds.accumulate;

  watch.lap();
  progress.report("restore", 0, 1);
  RestoredImage image = restore_image(stack, {options.aperture, options.strength, options.threads});
  progress.report("restore", 1, 1);
  made.seconds.restore = watch.lap();
  if (progress.stop_requested()) return cancelled();

  describe(image, options.aperture, made);
  warn(runs, options, made);
  const RecordingInfo& info = runs.front().recording->info();
  HALFARC_TRY(made.outputs, write_image_files(image, stack.window, info, made, options.output));
  made.seconds.write = watch.lap();
  made.seconds.total = whole.lap();
  return FinishedImage{std::move(made), std::move(image), stack.window};
}

}  // namespace halfarc
