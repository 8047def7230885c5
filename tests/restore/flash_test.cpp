#include "halfarc/restore/flash.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstring>

#include "disc_run.h"

namespace halfarc {
namespace {

using testing::DiscRun;
using testing::MadeRun;
using testing::make_disc_run;
using testing::MemoryRecording;

// Frames whose blur and place change from frame to frame, as air does it.
DiscRun restless(std::uint64_t seed) {
  DiscRun run;
  run.frames = 320;
  run.wander = 0.8;
  run.seed = seed;
  return run;
}

std::vector<PixelOffset> shifts_of(const MadeRun& made) {
  std::vector<PixelOffset> shifts;
  for (const PixelPoint& c : made.centres) shifts.push_back(c - made.centres.front());
  return shifts;
}

// A spot of light of sigma 2 pixels at `at`, `peak` electrons in every frame from `first` to `last`.
MemoryRecording with_light(const MadeRun& made, std::size_t first, std::size_t last, PixelPoint at, double peak,
                           double sigma) {
  const RecordingInfo& info = made.recording.info();
  std::vector<std::byte> samples(info.frames * info.bytes_per_frame());
  EXPECT_TRUE(made.recording.read(0, info.frames, samples));
  for (std::size_t f = first; f <= last; ++f) {
    const PixelPoint centre = at + (made.centres[f] - made.centres[first]);
    for (int y = 0; y < info.height; ++y) {
      for (int x = 0; x < info.width; ++x) {
        std::byte& sample = samples[f * info.bytes_per_frame() + static_cast<std::size_t>(y * info.width + x)];
        const double r2 = std::pow(x - centre.x, 2) + std::pow(y - centre.y, 2);
        const double value = std::to_integer<int>(sample) + peak * std::exp(-0.5 * r2 / (sigma * sigma));
        sample = static_cast<std::byte>(static_cast<std::uint8_t>(std::min(255.0, value)));
      }
    }
  }
  return MemoryRecording(info, std::move(samples));
}

FlashSearch search(const Recording& recording, const MadeRun& made) {
  Silent silent;
  const auto found = find_flashes(recording, shifts_of(made), 60.0, {0, 0, 96, 96}, {}, silent);
  EXPECT_TRUE(found);
  return *found;
}

TEST(Flash, NoiseAndRestlessAirAreNoFlash) {
  for (std::uint64_t seed = 1; seed <= 4; ++seed) {
    const MadeRun made = make_disc_run(restless(seed));
    const FlashSearch found = search(made.recording, made);
    EXPECT_TRUE(found.flashes.empty()) << seed << ": " << found.flashes.front().significance << " against "
                                       << found.least << ", dip " << found.deepest_dip;
  }
}

// 0.5 s on the disc, twelve electrons in its brightest pixel on a face of a hundred.
TEST(Flash, HalfASecondOnTheDiscIsFoundInTimeAndPlace) {
  const MadeRun made = make_disc_run(restless(20));
  const PixelPoint at = made.centres[150] + PixelOffset{6.0, 4.0};
  const FlashSearch found = search(with_light(made, 150, 180, at, 12.0, 2.5), made);
  ASSERT_EQ(found.flashes.size(), 1U);
  const Flash& flash = found.flashes.front();
  EXPECT_NEAR(static_cast<double>(flash.first), 150.0, 12.0);
  EXPECT_NEAR(static_cast<double>(flash.last), 180.0, 12.0);
  EXPECT_LT((flash.place - at).length(), 5.0);
  EXPECT_GT(flash.significance, found.least);
  EXPECT_GT(flash.excess.value, 4.0);
  EXPECT_LT(flash.excess.value, 12.0);
}

TEST(Flash, OnDarkGroundAFewFramesAreEnough) {
  const MadeRun made = make_disc_run(restless(21));
  const FlashSearch found = search(with_light(made, 99, 101, {18.0, 20.0}, 25.0, 2.0), made);
  ASSERT_EQ(found.flashes.size(), 1U);
  EXPECT_NEAR(static_cast<double>(found.flashes.front().first), 99.0, 2.0);
}

TEST(Flash, AParticleOnTheSensorIsNoFlash) {
  const MadeRun made = make_disc_run(restless(22));
  EXPECT_TRUE(search(with_light(made, 120, 120, {49.0, 50.0}, 220.0, 0.2), made).flashes.empty());
}

TEST(Flash, TooFewFramesAreRefused) {
  DiscRun run = restless(1);
  run.frames = 40;
  const MadeRun made = make_disc_run(run);
  Silent silent;
  EXPECT_FALSE(find_flashes(made.recording, shifts_of(made), 60.0, {0, 0, 96, 96}, {}, silent));
}

}  // namespace
}  // namespace halfarc
