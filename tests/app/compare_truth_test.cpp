#include "halfarc/app/compare_truth.h"

#include <gtest/gtest.h>

#include <cmath>

#include "disc_run.h"
#include "halfarc/base/random.h"
#include "halfarc/restore/spectrum.h"

namespace halfarc {
namespace {

using testing::DiscRun;

const Angle kFinest = Angle::arcsec(0.43);
const PlateScale kScale = PlateScale::arcsec_per_px(0.2);

Plane<float> disc(double blur, double noise) {
  DiscRun run;
  run.radius = 34.0;
  Rng rng(1);
  Plane<float> p(96, 96);
  for (int y = 0; y < 96; ++y) {
    for (int x = 0; x < 96; ++x) {
      p(x, y) = static_cast<float>(disc_brightness(run, {x - 47.5, y - 47.5}, blur, 0) + noise * rng.normal());
    }
  }
  return p;
}

TEST(ComparePlane, TheTruthItselfIsPerfectWhereverItLies) {
  const Plane<float> truth = disc(1.0, 0.0);
  const PlaneComparison same = compare_plane(moved_by(truth, {2.3, -1.4}), truth, truth, kScale, kFinest);
  EXPECT_NEAR(same.detail_correlation, 1.0, 1e-4);
  EXPECT_NEAR(same.shift.x, 2.3, 0.01);
  EXPECT_NEAR(same.shift.y, -1.4, 0.01);
  EXPECT_DOUBLE_EQ(same.half_correlation_period.arcsec(), kFinest.arcsec());
}

TEST(ComparePlane, NoiseAndBlurCost) {
  const Plane<float> truth = disc(1.0, 0.0);
  const double clean = compare_plane(disc(1.2, 0.0), truth, truth, kScale, kFinest).detail_correlation;
  const PlaneComparison noisy = compare_plane(disc(1.2, 8.0), truth, truth, kScale, kFinest);
  const PlaneComparison blurred = compare_plane(disc(3.0, 8.0), truth, truth, kScale, kFinest);
  EXPECT_GT(clean, 0.99);
  EXPECT_LT(noisy.detail_correlation, clean);
  EXPECT_LT(blurred.detail_correlation, noisy.detail_correlation);
  EXPECT_GT(blurred.half_correlation_period, noisy.half_correlation_period);
}

TEST(ComparePlane, BrightnessAndSkyDoNotMatter) {
  const Plane<float> truth = disc(1.0, 0.0);
  Plane<float> other = disc(1.4, 1.0);
  const PlaneComparison before = compare_plane(other, truth, truth, kScale, kFinest);
  for (float& v : other.samples()) v = 3.0F * v + 40.0F;
  const PlaneComparison after = compare_plane(other, truth, truth, kScale, kFinest);
  EXPECT_NEAR(after.detail_correlation, before.detail_correlation, 1e-4);
  EXPECT_NEAR(after.shift.x, before.shift.x, 1e-3);
}

}  // namespace
}  // namespace halfarc
