#include "halfarc/simulate/tube_plume.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/air/tube.h"

namespace halfarc {
namespace {

const Length kGreen = Length::nm(540.0);
const Length kAperture = Length::mm(203.0);

double waves(double kelvin) {
  return tube_plume(TemperatureDifference::kelvin(kelvin), kAperture, kGreen, Angle()).rms_waves;
}

TEST(TubePlume, AColdOrSettledMirrorHasNone) {
  EXPECT_EQ(waves(0.0), 0.0);
  EXPECT_EQ(waves(-2.0), 0.0);
}

TEST(TubePlume, GrowsWithTheWarmthAndIsBounded) {
  EXPECT_LT(waves(1.0), waves(3.0));
  EXPECT_LT(waves(100.0), 2.0 + 1e-12);
}

// The slopes of defocus of that rms, taken numerically, make the width that Racine's law asks for.
TEST(TubePlume, ItsSlopesMakeTheWidthOfTheLaw) {
  const double rms_m = waves(2.0) * kGreen.m();
  const double radius = kAperture.m() / 2.0;
  double sum = 0.0;
  int count = 0;
  const auto path = [&](double x, double y) { return rms_m * std::sqrt(3.0) * (2.0 * (x * x + y * y) - 1.0); };
  for (double x = -0.995; x < 1.0; x += 0.01) {
    for (double y = -0.995; y < 1.0; y += 0.01) {
      if (x * x + y * y > 1.0) continue;
      const double slope = (path(x + 1e-4, y) - path(x - 1e-4, y)) / 2e-4 / radius;
      sum += slope * slope;
      ++count;
    }
  }
  const double fwhm = 2.3548 * std::sqrt(sum / count);
  EXPECT_NEAR(fwhm, mirror_seeing(TemperatureDifference::kelvin(2.0)).value.rad(), 0.01 * fwhm);
}

}  // namespace
}  // namespace halfarc
