#include "halfarc/air/image_motion.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace halfarc {
namespace {

constexpr Length kAperture = Length::mm(203.0);
constexpr Turbulence kAir{Length::cm(8.0)};
constexpr Speed kWind = Speed::m_per_s(10.0);

double averaged(Duration exposure) { return averaged_motion_rms(kAir, kAperture, exposure, kWind).arcsec(); }
double smearing(Duration exposure) { return smearing_motion_rms(kAir, kAperture, exposure, kWind).arcsec(); }

// [Tokovinin2002]: the motion of an instant is the gradient tilt, 0.16980 (D/r0)^(5/3) (lambda/D)^2.
TEST(ImageMotion, OfAnInstantIsTheGradientTilt) {
  const double instant = gradient_tilt_rms(kAir, kAperture).arcsec();
  EXPECT_NEAR(averaged(Duration::s(0.0)) / instant, 1.0, 1e-3);
  EXPECT_EQ(smearing(Duration::s(0.0)), 0.0);
}

TEST(ImageMotion, PartsAddUpInSquares) {
  const double instant = averaged(Duration::s(0.0));
  for (const double ms : {1.0, 5.0, 20.0, 100.0, 1000.0}) {
    const Duration exposure = Duration::ms(ms);
    EXPECT_NEAR(std::hypot(averaged(exposure), smearing(exposure)) / instant, 1.0, 1e-3) << ms;
  }
}

// Short exposures smear in proportion to their length; very long ones keep a variance ~ T^(-1/3).
TEST(ImageMotion, LimitsOfShortAndLongExposures) {
  EXPECT_NEAR(smearing(Duration::ms(0.2)) / smearing(Duration::ms(0.1)), 2.0, 0.03);
  const double variance_ratio = std::pow(averaged(Duration::s(80.0)) / averaged(Duration::s(10.0)), 2);
  EXPECT_NEAR(variance_ratio, 0.5, 0.01);
}

// The second route: the variance of a mean is the integral of the covariance C(v t), 2/T Integral (1 - t/T) C dt.
TEST(ImageMotion, IsTheIntegralOfTheCovariance) {
  const Turbulence air{Length::cm(8.0), kSeeingWavelength, Length::m(20.0)};
  const double travel = 0.3;  // metres
  const auto covariance = [&](double s) {
    double sum = 0.0;
    const double step = 0.02;
    for (double f = step / 2.0; f < 60.0; f += step) {
      const double x = std::numbers::pi * kAperture.m() * f;
      const double disc = 2.0 * std::cyl_bessel_j(1.0, x) / x;
      sum += f * f * f * phase_power(air, PupilFrequency::per_m(f), kSeeingWavelength) * disc * disc *
             std::cyl_bessel_j(0.0, 2.0 * std::numbers::pi * f * s) * step;
    }
    return std::numbers::pi * std::pow(kSeeingWavelength.m(), 2) * sum;
  };
  double variance = 0.0;
  constexpr int kPieces = 40;
  for (int i = 0; i < kPieces; ++i) {
    const double u = (i + 0.5) / kPieces;
    variance += 2.0 * (1.0 - u) * covariance(u * travel) / kPieces;
  }
  const Angle ours = averaged_motion_rms(air, kAperture, Duration::ms(30.0), kWind);
  EXPECT_NEAR(ours.arcsec() / Angle::rad(std::sqrt(variance)).arcsec(), 1.0, 3e-3);
}

TEST(ImageMotion, ExposureThatMattersIsTheCrossingTime) {
  const double instant = averaged(Duration::s(0.0));
  EXPECT_LT(smearing(Duration::ms(2.0)), 0.1 * instant);    // a tenth of the crossing
  EXPECT_GT(smearing(Duration::ms(100.0)), 0.5 * instant);  // five crossings
}

}  // namespace
}  // namespace halfarc
