#include "halfarc/app/stack_runs.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <utility>

#include "halfarc/base/stopwatch.h"
#include "halfarc/measure/index.h"
#include "halfarc/restore/combine.h"

namespace halfarc {
namespace {

constexpr double kMarginShare = 0.35;   // of the disc's diameter, free sky left around it
constexpr int kLeastMargin = 24;        // pixels
constexpr double kSurfaceBorder = 0.5;  // share of the frame's border that is lit when the scene fills the frame

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
                StackedRuns& stacked) {
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
  stacked.span = *last - *first;
  stacked.reference = *first + 0.5 * *stacked.span;
}

}  // namespace

Result<StackedRuns> stack_runs(const std::vector<std::filesystem::path>& paths, double kept_fraction, Threads threads,
                               Progress& progress, const std::optional<DerotateRequest>& derotate) {
  if (paths.empty()) return bad_input("no run was given", {}, "name at least one recording");
  Stopwatch watch;
  StackedRuns stacked;
  std::vector<GradedRun> runs;
  for (const std::filesystem::path& path : paths) {
    HALFARC_TRY(GradedRun run, grade_run(path, threads, progress));
    if (!runs.empty()) HALFARC_CHECK(check_alike(runs.front(), run));
    stacked.frames_read += run.recording->info().frames;
    stacked.runs.push_back(run.recording->info());
    runs.push_back(std::move(run));
  }
  stacked.seconds_graded = watch.lap();
  std::optional<DerotationPlan> plan;
  if (derotate) {
    HALFARC_TRY(plan, plan_derotation(*derotate, stacked.runs));
  }

  const std::vector<Window> windows = windows_for(runs);
  std::vector<Stack> stacks;
  std::vector<std::vector<AlignedFrame>> kept;
  for (std::size_t r = 0; r < runs.size(); ++r) {
    StackOptions stacking;
    stacking.kept_fraction = kept_fraction;
    stacking.threads = threads;
    if (plan) stacking.cuts = plan->cuts[r];
    if (runs[r].fills_frame) {
      if (plan) {
        return bad_input("its scene fills the frame: no whole disc can be turned", stacked.runs[r].path.string(),
                         "leave --target out");
      }
      // A surface has no centroid worth following: look for it around where it was.
      for (GradedFrame& f : runs[r].frames) f.place = {};
      stacking.reach = 0.25 * std::min(windows[r].width, windows[r].height);
    }
    HALFARC_TRY(Stack stack, stack_frames(*runs[r].recording, runs[r].frames, windows[r], stacking, progress));
    stacked.frames_used += stack.kept.size();
    kept.push_back(stack.kept);
    stacks.push_back(std::move(stack));
  }
  stacked.selection = stacks.front().selection;
  find_times(runs, kept, stacked);
  if (!plan) {
    HALFARC_TRY(stacked.stack, combine_stacks(std::move(stacks)));
    return stacked;
  }
  watch.lap();
  HALFARC_TRY(DerotatedStack turned,
              derotate_stacks(std::move(stacks), stacked.runs, *derotate, *plan, threads, progress));
  stacked.stack = std::move(turned.stack);
  stacked.derotated = {turned.at, turned.north, turned.north_source, turned.slices, turned.unseen, derotate->mirrored};
  stacked.reference = turned.at;
  stacked.seconds_derotated = watch.lap();
  return stacked;
}

}  // namespace halfarc
