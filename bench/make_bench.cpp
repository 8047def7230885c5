// build/release/bench/make_bench speed [FRAMES [FOLDER]]
// build/release/bench/make_bench detail RECORDING TRUTH.fits ARCSEC_PER_PIXEL APERTURE_MM
//
// speed: a run of FRAMES (36,000) frames of 640 x 480, 8 bits, written to FOLDER for the while (11 GB; 400 simulated
// frames in ever another order): the time of `make` at 10 % kept, stage by stage, against reading the bytes and against
// the plain pipeline (plain_pipeline.h) for 1000 of the frames; and the most memory the program took.
// detail: what the plain pipeline reaches on a recording with everything that is free in it tuned against the truth, and
// what `make` reaches with nothing told but the scale.
#include <fmt/format.h>
#include <sys/resource.h>

#include <cstdlib>
#include <filesystem>
#include <string>

#include "halfarc/app/compare_truth.h"
#include "halfarc/app/make_image.h"
#include "halfarc/base/random.h"
#include "halfarc/base/stopwatch.h"
#include "halfarc/frames/fits_cube_writer.h"
#include "halfarc/frames/fits_layer.h"
#include "halfarc/simulate/exposure.h"
#include "plain_pipeline.h"

using namespace halfarc;

namespace {

constexpr const char* kNames[] = {"red", "green", "blue"};
constexpr Threads kThreads{2};

int fail(const std::string& why) {
  fmt::print(stderr, "make_bench: {}\n", why);
  return 1;
}

double most_memory_mib() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

// The run, in whole thousands of frames at a time.
Result<void> write_run(const std::filesystem::path& path, std::size_t frames) {
  ShotSpec shot;
  shot.timing.frames = 400;
  shot.sensor.bits = 8;
  shot.sensor.electrons_per_adu = 4.0;
  std::vector<std::vector<std::byte>> made;
  Silent silent;
  HALFARC_TRY([[maybe_unused]] const ShotTruth truth,
              simulate_recording(shot, kThreads, silent, [&](const SimulatedFrame& frame) -> Result<void> {
                std::vector<std::byte> bytes;
                for (int y = 0; y < frame.samples.height(); ++y) {
                  for (int x = 0; x < frame.samples.width(); ++x) {
                    bytes.push_back(static_cast<std::byte>(std::min<int>(255, frame.samples(x, y))));
                  }
                }
                made.push_back(std::move(bytes));
                return {};
              }));
  HALFARC_TRY(FitsCubeWriter writer,
              FitsCubeWriter::create(path, {shot.width, shot.height, shot.sensor.mosaic, Sample::u8, 8, 0,
                                            shot.timing.start, shot.timing.exposure}));
  Rng rng(1);
  for (std::size_t f = 0; f < frames; ++f) {
    const auto pick = static_cast<std::size_t>(rng.uniform() * static_cast<double>(made.size()));
    const Utc at = shot.timing.start + static_cast<double>(f) * shot.timing.interval;
    HALFARC_CHECK(writer.append(made[pick], std::span(&at, 1)));
  }
  return writer.finish();
}

Result<double> reading_seconds(const Recording& recording) {
  constexpr std::size_t together = 8;
  std::vector<std::byte> buffer(together * recording.info().bytes_per_frame());
  Stopwatch watch;
  for (std::size_t f = 0; f + together <= recording.info().frames; f += together) {
    HALFARC_CHECK(recording.read(f, together, buffer));
  }
  return watch.lap();
}

Result<void> speed(std::size_t frames, const std::filesystem::path& folder) {
  const std::filesystem::path run = folder / "halfarc-make-bench.fits", image = folder / "halfarc-make-bench-image.fits";
  HALFARC_CHECK(write_run(run, frames));
  HALFARC_TRY(const auto recording, open_recording(run));
  HALFARC_TRY(const double reading, reading_seconds(*recording));
  MakeOptions options;
  options.runs = {run};
  options.output = image;
  options.aperture.scale = ShotSpec().scale;
  options.scale_source = ScaleSource::given;
  options.kept_fraction = 0.1;
  options.threads = kThreads;
  Silent silent;
  HALFARC_TRY(const FinishedImage finished, make_image(options, silent));
  const double memory = most_memory_mib();
  const MakeSeconds& s = finished.made.seconds;
  HALFARC_TRY(const bench::PlainStack plain, bench::plain_stack(*recording, 1000, 1.0, true, kThreads));
  const double remap = bench::remap_and_add_seconds(recording->info().width, recording->info().height);
  fmt::print("bench: make, {} frames of {} x {}, {} kept: {:.1f} s\n", frames, recording->info().width,
             recording->info().height, finished.made.frames_used, s.total);
  fmt::print("bench:   grade {:.1f}, align {:.1f}, select {:.1f}, stack {:.1f}, restore {:.1f}, write {:.1f} s\n",
             s.read_and_grade, s.align, s.select, s.stack, s.restore, s.write);
  fmt::print("bench:   over reading the bytes ({:.1f} s): {:.1f}\n", reading, s.total / reading);
  fmt::print("bench:   over the plain pipeline for 1000 frames ({:.1f} s): {:.2f} (bar 5)\n", plain.seconds,
             s.total / plain.seconds);
  // Aligning looks at 6000 frames, whatever is kept of them.
  const double per_kept = 2.0 * (s.align / 6000.0 + s.stack / static_cast<double>(finished.made.frames_used));
  fmt::print("bench:   a kept frame, one thread: {:.2f} ms, over one remap and add ({:.2f} ms): {:.2f} (bar 2.5)\n",
             1e3 * per_kept, 1e3 * remap, per_kept / remap);
  fmt::print("bench:   plain pipeline a frame, one thread: {:.2f} ms, over ours: {:.1f} (bar 4)\n", 2.0 * plain.seconds,
             2.0 * plain.seconds / 1e3 / per_kept);
  fmt::print("bench:   most memory {:.0f} MiB (bar 1024)\n", memory);
  std::filesystem::remove(run);
  for (const std::filesystem::path& made : finished.made.outputs) std::filesystem::remove(made);
  return {};
}

struct Truth {
  std::vector<Plane<float>> perfect, scene;
  PlateScale scale;
  Pupil pupil;
  PlaneComparison compare(const Plane<float>& image, std::size_t c, const Window& w) const {
    const std::size_t plane = std::min(c, perfect.size() - 1);
    const Angle finest = cut_off(pupil, plane_wavelength(static_cast<Colour>(c), false)).period();
    return compare_plane(image, perfect[plane].view().part(w.x, w.y, w.width, w.height),
                         scene[plane].view().part(w.x, w.y, w.width, w.height), scale, finest);
  }
};

Result<void> detail(const std::filesystem::path& path, const std::filesystem::path& truth_path, double arcsec,
                    double aperture_mm) {
  Truth truth;
  HALFARC_TRY(truth.perfect, read_fits_layer(truth_path, ""));
  HALFARC_TRY(truth.scene, read_fits_layer(truth_path, "SCENE"));
  truth.scale = PlateScale::arcsec_per_px(arcsec);
  truth.pupil = {Length::mm(aperture_mm), 0.34};
  HALFARC_TRY(const auto recording, open_recording(path));
  const Window all{0, 0, recording->info().width, recording->info().height};

  struct Best {
    PlaneComparison found;
    std::string how;
  };
  std::array<Best, 3> best;
  for (const double kept : {0.1, 0.25, 0.5, 0.75, 1.0}) {
    for (const bool patches : {false, true}) {
      HALFARC_TRY(const bench::PlainStack stack,
                  bench::plain_stack(*recording, recording->info().frames, kept, patches, kThreads));
      for (std::size_t c = 0; c < 3; ++c) {
        for (const double sigma : {1.0, 1.5, 2.0, 2.5, 3.0}) {
          for (const int iterations : {5, 10, 20, 40, 80, 160}) {
            const PlaneComparison found =
                truth.compare(bench::plain_sharpened(stack.mean[c], sigma, iterations), c, all);
            if (found.detail_correlation <= best[c].found.detail_correlation) continue;
            best[c] = {found, fmt::format("{:.0f} % kept, {} patches, {} iterations of {} px", 100.0 * kept,
                                          patches ? "with" : "without", iterations, sigma)};
          }
        }
      }
    }
  }
  MakeOptions options;
  options.runs = {path};
  options.output = std::filesystem::temp_directory_path() / "halfarc-make-bench-image.fits";
  options.aperture = {truth.pupil, truth.scale};
  options.scale_source = ScaleSource::given;
  options.threads = kThreads;
  Silent silent;
  HALFARC_TRY(const FinishedImage finished, make_image(options, silent));
  for (const std::filesystem::path& made : finished.made.outputs) std::filesystem::remove(made);
  for (std::size_t c = 0; c < 3; ++c) {
    const PlaneComparison ours = truth.compare(finished.picture.restored[c], c, finished.window);
    fmt::print("bench: {}: detail correlation {:.4f}, half correlation {:.3f}\"; plain, tuned: {:.4f}, {:.3f}\" ({})\n",
               kNames[c], ours.detail_correlation, ours.half_correlation_period.arcsec(),
               best[c].found.detail_correlation, best[c].found.half_correlation_period.arcsec(), best[c].how);
    fmt::print("bench:   what is missed of 1, ours over plain's: {:.2f}\n",
               (1.0 - ours.detail_correlation) / (1.0 - best[c].found.detail_correlation));
  }
  return {};
}

}  // namespace

int main(int argc, char** argv) {
  const std::string what = argc > 1 ? argv[1] : "";
  Result<void> outcome;
  if (what == "speed") {
    outcome = speed(argc > 2 ? std::strtoul(argv[2], nullptr, 10) : 36'000,
                    argc > 3 ? std::filesystem::path(argv[3]) : std::filesystem::temp_directory_path());
  } else if (what == "detail" && argc == 6) {
    outcome = detail(argv[2], argv[3], std::atof(argv[4]), std::atof(argv[5]));
  } else {
    return fail("say speed or detail; see the head of its source");
  }
  return outcome ? 0 : fail(outcome.error().line());
}
