#include "halfarc/air/aligned_exposures.h"

#include <gtest/gtest.h>

#include "halfarc/air/turbulence.h"

namespace halfarc {
namespace {

TEST(AlignedExposures, LoseNothingBroadAndMoreInWorseAir) {
  for (const double d : {0.5, 1.3, 2.7, 6.5, 10.0}) {
    EXPECT_DOUBLE_EQ(aligned_mean_transfer(d, 0.0), 1.0);
    EXPECT_DOUBLE_EQ(aligned_spectral_ratio(d, 0.0), 1.0);
  }
  for (const double x : {0.1, 0.25, 0.5}) {
    double transfer = 2.0;
    double ratio = 2.0;
    for (double d = 0.5; d <= 8.0; d *= 1.15) {
      EXPECT_LT(aligned_mean_transfer(d, x), transfer) << d << " " << x;
      EXPECT_LT(aligned_spectral_ratio(d, x), ratio + 0.002) << d << " " << x;
      transfer = aligned_mean_transfer(d, x);
      ratio = aligned_spectral_ratio(d, x);
    }
  }
}

TEST(AlignedExposures, KeepingFewerLeavesMoreAndJoinsSmoothly) {
  for (const double d : {1.0, 2.7, 4.0}) {
    for (const double x : {0.2, 0.5}) {
      double last = aligned_mean_transfer(d, x);
      for (double kept = 0.9; kept > 0.05; kept *= 0.9) {
        const double now = aligned_mean_transfer(d, x, kept);
        EXPECT_GE(now, last) << d << " " << x << " " << kept;
        EXPECT_LT(now, last + 0.05) << d << " " << x << " " << kept;
        last = now;
      }
    }
  }
  EXPECT_DOUBLE_EQ(aligned_mean_transfer(2.0, 0.3, 0.001), aligned_mean_transfer(2.0, 0.3, 0.05));
}

TEST(AlignedExposures, BeyondTheTableIsItsEdge) {
  EXPECT_DOUBLE_EQ(aligned_mean_transfer(0.1, 0.3), aligned_mean_transfer(0.5, 0.3));
  EXPECT_DOUBLE_EQ(aligned_mean_transfer(50.0, 0.3), aligned_mean_transfer(10.0, 0.3));
  EXPECT_DOUBLE_EQ(aligned_mean_transfer(2.0, 1.7), aligned_mean_transfer(2.0, 1.0));
}

// [Fried1966]: where the air is no worse than three r0 and detail not too fine, alignment and tilt removal are the same
// thing, exp(-3.44 (lambda f / r0)^(5/3) (1 - (lambda f / D)^(1/3))).
TEST(PublishedAlignedExposures, AgreeWithTiltRemovedExposures) {
  const Length diameter = Length::mm(203.0);
  for (const double d : {1.0, 1.5, 2.0, 2.5, 3.0}) {
    const Turbulence air{diameter * (1.0 / d), kSeeingWavelength};
    for (const double x : {0.05, 0.10, 0.15, 0.20, 0.25, 0.30}) {
      const SpatialFrequency f = SpatialFrequency::per_rad(x * (diameter / kSeeingWavelength));
      const double closed_form = short_exposure_mtf(air, kSeeingWavelength, diameter, f);
      EXPECT_NEAR(aligned_mean_transfer(d, x), closed_form, 0.03) << d << " " << x;
    }
  }
}

}  // namespace
}  // namespace halfarc
