// build/release/bench/long_run_bench [FRAMES]
//
// A lunar surface of 1936 x 1096 at 16 bits, FRAMES (100,000) frames long: 424 GB, which are not written anywhere; 24
// simulated frames stand in for all of them. Everything that `make` does to a run but open its file: index, align,
// select, stack and restore. Prints the time of each and the most memory the program took. Run it at the root of the
// project: the scene is examples/scenes/lunar-pane.toml.
#include <fmt/format.h>
#include <malloc.h>

#include <cstdlib>
#include <cstring>
#include <fstream>
#include <string>
#include <vector>

#include "halfarc/base/stopwatch.h"
#include "halfarc/measure/index.h"
#include "halfarc/restore/restore_image.h"
#include "halfarc/simulate/exposure.h"
#include "halfarc/simulate/shot_file.h"

using namespace halfarc;

namespace {

constexpr Threads kThreads{2};
constexpr std::size_t kSimulated = 24;

// The most memory since `forget_memory`, and that (Linux).
double most_memory_mib() {
  std::ifstream status("/proc/self/status");
  for (std::string line; std::getline(status, line);) {
    if (line.rfind("VmHWM:", 0) == 0) return std::atof(line.c_str() + 6) / 1024.0;
  }
  return 0.0;
}
void forget_memory() {
  malloc_trim(0);
  std::ofstream("/proc/self/clear_refs") << "5";
}

class Repeated final : public Recording {
 public:
  Repeated(RecordingInfo info, std::vector<Plane<std::uint16_t>> frames)
      : Recording(std::move(info)), frames_(std::move(frames)) {}

  Result<void> read(std::size_t first, std::size_t count, std::span<std::byte> into) const override {
    HALFARC_CHECK(check_range(first, count, into));
    for (std::size_t i = 0; i < count; ++i) {
      const auto& frame = frames_[(first + i) * 7 % frames_.size()];
      std::memcpy(into.data() + i * info().bytes_per_frame(), frame.data(), info().bytes_per_frame());
    }
    return {};
  }

 private:
  std::vector<Plane<std::uint16_t>> frames_;
};

Result<Repeated> long_run(std::size_t count) {
  HALFARC_TRY(ShotSpec shot, read_shot_file("examples/scenes/lunar-pane.toml"));
  shot.width = 1936;
  shot.height = 1096;
  shot.sensor.bits = 16;
  shot.sensor.electrons_per_adu = 0.05;
  shot.timing.frames = kSimulated;
  std::vector<Plane<std::uint16_t>> frames;
  Silent silent;
  HALFARC_TRY([[maybe_unused]] const ShotTruth truth,
              simulate_recording(shot, kThreads, silent, [&](const SimulatedFrame& frame) -> Result<void> {
                Plane<std::uint16_t> copy(frame.samples.width(), frame.samples.height());
                for (int y = 0; y < copy.height(); ++y) std::copy_n(frame.samples.row(y), copy.width(), copy.row(y));
                frames.push_back(std::move(copy));
                return {};
              }));
  RecordingInfo info;
  info.path = "a long run";
  info.width = shot.width;
  info.height = shot.height;
  info.mosaic = shot.sensor.mosaic;
  info.sample = Sample::u16;
  info.bits = 16;
  info.frames = count;
  for (std::size_t f = 0; f < count; ++f) {
    info.times.push_back(shot.timing.start + static_cast<double>(f) * shot.timing.interval);
  }
  return Repeated(std::move(info), std::move(frames));
}

Result<void> run(std::size_t count) {
  HALFARC_TRY(const Repeated recording, long_run(count));
  Silent silent;
  Stopwatch watch;
  forget_memory();  // the simulator took more than all that follows
  const double before = most_memory_mib();
  HALFARC_TRY(const RecordingIndex index, index_recording(recording, {.threads = kThreads}, silent));
  const double grading = watch.lap();
  std::vector<GradedFrame> graded;
  for (std::size_t i = 0; i < index.frames.size(); ++i) {
    if (index.frames[i].found) graded.push_back({i, {}, static_cast<double>(index.frames[i].sharpness)});
  }
  const RecordingInfo& info = recording.info();
  const Window window{0, 0, info.width & ~1, info.height & ~1};
  StackOptions options;
  options.kept_fraction = 0.01;
  options.reach = 0.25 * window.height;
  options.threads = kThreads;
  HALFARC_TRY(const Stack stack, stack_frames(recording, graded, window, options, silent));
  const double before_restoring = most_memory_mib();
  watch.lap();
  const RestoredImage image = restore_image(stack, {Aperture{}, 1.0, kThreads});
  const double restoring = watch.lap();
  fmt::print("bench: {} frames of {} x {}, 16 bits, {} kept: grade {:.0f}, align {:.0f}, select {:.0f}, stack {:.0f}, "
             "restore {:.0f} s\n",
             count, info.width, info.height, stack.kept.size(), grading, stack.seconds.align, stack.seconds.select,
             stack.seconds.accumulate, restoring);
  fmt::print("bench: resolved to {:.3f} cycles a pixel; most memory {:.0f} MiB before it began, {:.0f} until stacked, "
             "{:.0f} in all (bar 1024)\n",
             image.resolved[1].value, before, before_restoring, most_memory_mib());
  return {};
}

}  // namespace

int main(int argc, char** argv) {
  const auto outcome = run(argc > 1 ? std::strtoul(argv[1], nullptr, 10) : 100'000);
  if (outcome) return 0;
  fmt::print(stderr, "long_run_bench: {}\n", outcome.error().line());
  return 1;
}
