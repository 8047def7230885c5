#include "halfarc/app/look_for_flashes.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "halfarc/app/simulate_recording.h"
#include "halfarc/frames/fits_cube_writer.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

ShotSpec small_shot(std::uint64_t seed) {
  ShotSpec shot;
  shot.seed = seed;
  shot.width = 112;
  shot.height = 104;
  shot.body.kind = BodyKind::ruddy_disc;
  shot.body.equatorial_diameter = Angle::arcsec(11.0);
  shot.timing.frames = 400;
  shot.timing.interval = Duration::ms(20.0);
  shot.timing.start = Utc::civil(2026, 12, 4, 21, 12, 0.0).value();
  return shot;
}

// The recording of the shot, with light added to some of its frames: a spot of sigma 3 pixels off the middle.
fs::path record(const ShotSpec& shot, const fs::path& path, std::size_t first, std::size_t last, double electrons) {
  CubeForm form;
  form.width = shot.width;
  form.height = shot.height;
  form.mosaic = shot.sensor.mosaic;
  form.sample = Sample::u16;
  form.bits = shot.sensor.bits;
  form.start = shot.timing.start;
  form.exposure = shot.timing.exposure;
  Silent silent;
  auto writer = FitsCubeWriter::create(path, form, {});
  EXPECT_TRUE(writer);
  std::vector<std::uint16_t> samples;
  EXPECT_TRUE(simulate_recording(shot, {}, silent, [&](const SimulatedFrame& frame) {
    samples.clear();
    for (int y = 0; y < frame.samples.height(); ++y) {
      for (int x = 0; x < frame.samples.width(); ++x) {
        const double r2 =
            std::pow(x - 60.0 - frame.truth.shift_px().x, 2) + std::pow(y - 46.0 - frame.truth.shift_px().y, 2);
        const bool shining = frame.index >= first && frame.index <= last;
        const double more = shining ? electrons / shot.sensor.electrons_per_adu * std::exp(-r2 / 18.0) : 0.0;
        samples.push_back(static_cast<std::uint16_t>(std::min(65535.0, frame.samples(x, y) + more)));
      }
    }
    return writer->append(std::as_bytes(std::span(samples)), std::span(&frame.middle, 1));
  }));
  EXPECT_TRUE(writer->finish());
  return path;
}

TEST(LookForFlashes, SimulatedAirHoldsNone) {
  const ScratchFolder folder;
  std::vector<fs::path> runs;
  for (std::uint64_t seed = 1; seed <= 4; ++seed) {
    runs.push_back(record(small_shot(seed), folder / (std::to_string(seed) + ".fits"), 1, 0, 0.0));
  }
  Silent silent;
  const auto looked = look_for_flashes(runs, folder / "image.fits", {}, silent);
  ASSERT_TRUE(looked) << looked.error().line();
  for (const RunFlashes& run : *looked) {
    EXPECT_TRUE(run.found.empty()) << run.run;
    EXPECT_EQ(run.search.frames_looked, 400U);
  }
}

TEST(LookForFlashes, TellsWhenAndShowsIt) {
  const ScratchFolder folder;
  const fs::path run = record(small_shot(7), folder / "run.fits", 200, 239, 250.0);
  Silent silent;
  const auto looked = look_for_flashes({&run, 1}, folder / "image.fits", {}, silent);
  ASSERT_TRUE(looked) << looked.error().line();
  ASSERT_EQ(looked->front().found.size(), 1U);
  const FoundFlash& found = looked->front().found.front();
  ASSERT_TRUE(found.at);
  // Frames 200 to 239 at 20 ms: 4.0 to 4.8 s after the start.
  EXPECT_NEAR((*found.at - small_shot(7).timing.start).s(), 4.4, 0.3);
  EXPECT_EQ(found.strip.filename(), "image-flash-1.png");
  EXPECT_GT(fs::file_size(found.strip), 1000U);
}

}  // namespace
}  // namespace halfarc
