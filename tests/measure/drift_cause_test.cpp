#include "halfarc/measure/drift_cause.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

Motion drifting(double x, double y) {
  Motion m;
  m.drift_x = {x, 0.05};
  m.drift_y = {y, 0.05};
  m.span = Duration::s(20.0);
  return m;
}

const PlateScale kScale = PlateScale::arcsec_per_px(0.2);

// With the zenith to the right, a drift to the right is a rise, one downwards a move to larger azimuth.
TEST(DriftCause, SplitsAlongTheZenith) {
  const SkyDrift d = split_drift(drifting(5.0, 2.0), kScale, {Angle::deg(90.0), Angle::deg(1.0)}, false);
  EXPECT_NEAR(d.altitude.value, 1.0, 1e-9);
  EXPECT_NEAR(d.sideways.value, 0.4, 1e-9);
  EXPECT_NEAR(d.altitude.sigma, std::hypot(0.01, 0.4 * 0.017453), 1e-4);
  EXPECT_NEAR(split_drift(drifting(5.0, 2.0), kScale, {Angle::deg(90.0), {}}, true).sideways.value, -0.4, 1e-9);
}

// 15.041 arcseconds a second at the equator: the sky's turning.
TEST(DriftCause, ToldByItsRate) {
  EXPECT_EQ(cause_of(drifting(74.0, 0.0), kScale, 15.041, {}), DriftCause::not_tracking);
  EXPECT_EQ(cause_of(drifting(2.0, 0.0), kScale, 15.041, {}), DriftCause::slow);
  EXPECT_EQ(cause_of(drifting(0.1, 0.0), kScale, 15.041, {}), DriftCause::none);
  Motion steps = drifting(0.1, 0.0);
  steps.steps.push_back({40, {6.0, 0.0}});
  EXPECT_EQ(cause_of(steps, kScale, 15.041, {}), DriftCause::steps);
  EXPECT_EQ(cause_of(drifting(0.1, 0.0), kScale, 15.041, Wave{Duration::s(30.0), 2.0}), DriftCause::wave);
  EXPECT_TRUE(in_words(DriftCause::none).empty());
  EXPECT_NE(in_words(DriftCause::wave).find("gear"), std::string::npos);
}

TEST(DriftCause, FindsAWaveAndNoneInNoise) {
  for (const double swing : {3.0, 0.0}) {
    RecordingIndex index;
    std::vector<double> times;
    Rng rng = Rng(5).child("wave");
    for (int i = 0; i < 1200; ++i) {
      FrameIndex f;
      f.found = true;
      const double t = 0.1 * i;
      f.centroid = {50.0 + swing * std::sin(6.2831853 * t / 40.0) + rng.normal(), 50.0 + rng.normal()};
      index.frames.push_back(f);
      times.push_back(t);
    }
    Motion still;
    still.span = Duration::s(120.0);
    const auto wave = find_wave(index, times, still);
    ASSERT_EQ(wave.has_value(), swing > 0.0);
    if (!wave) continue;
    EXPECT_NEAR(wave->period.s(), 40.0, 2.0);
    EXPECT_NEAR(wave->amplitude, 3.0, 0.4);
  }
}

}  // namespace
}  // namespace halfarc
