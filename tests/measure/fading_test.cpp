#include "halfarc/measure/fading.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/measure/clock.h"
#include "simulated_clip.h"

namespace halfarc {
namespace {

ShotSpec planet(std::uint64_t seed) {
  ShotSpec shot;
  shot.seed = seed;
  shot.body.kind = BodyKind::ruddy_disc;
  shot.body.equatorial_diameter = Angle::arcsec(13.6);
  shot.scale = PlateScale::arcsec_per_px(0.3);
  shot.width = shot.height = 96;
  shot.air.turbulence.r0 = Length::cm(5.0);
  shot.timing.frames = 200;
  shot.timing.interval = Duration::ms(50.0);
  shot.timing.exposure = Duration::ms(8.0);
  return shot;
}

Measured<double> rate_of(const ShotSpec& shot) {
  const auto clip = testing::simulated_clip(shot);
  Silent progress;
  const auto index = index_recording(clip, {}, progress).value();
  return fading_of(index, seconds_of_frames(clip.info().times, clip.info().frames, std::nullopt))->per_hour;
}

TEST(Fading, SteadyLightDoesNotAlarm) {
  constexpr int kSeeds = 16;
  double z2 = 0.0;
  for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
    const Measured<double> rate = rate_of(planet(seed));
    EXPECT_FALSE(Fading{rate}.alarming()) << rate.value << " ± " << rate.sigma;
    EXPECT_LT(rate.sigma, 0.4);
    z2 += std::pow(rate.value / rate.sigma, 2) / kSeeds;
  }
  EXPECT_GT(z2, 0.3);  // the chi-square of 16 leaves 0.35 to 2.2 in all but one case of 300
  EXPECT_LT(z2, 2.3);
}

// A veil of simulate/dew.h that grows for a quarter of an hour: at its beginning light falls by loss / growing.
TEST(Fading, DewIsSeenWithinAClip) {
  ShotSpec shot = planet(5);
  shot.dew.loss = 0.6;
  shot.dew.growing = Duration::minutes(15.0);
  const Measured<double> rate = rate_of(shot);
  EXPECT_NEAR(rate.value, -0.6 * 4.0, 4.0 * rate.sigma);
  EXPECT_TRUE(Fading{rate}.alarming()) << rate.value << " ± " << rate.sigma;
}

TEST(Fading, NeedsTimeAndFrames) {
  RecordingIndex index;
  index.frames.resize(99);
  for (FrameIndex& f : index.frames) {
    f.found = true;
    f.flux = 100.0;
  }
  std::vector<double> times(99);
  for (std::size_t i = 0; i < times.size(); ++i) times[i] = static_cast<double>(i);
  EXPECT_FALSE(fading_of(index, times));
  EXPECT_FALSE(fading_of({}, {}));
}

}  // namespace
}  // namespace halfarc
