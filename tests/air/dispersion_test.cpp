#include "halfarc/air/dispersion.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "halfarc/air/refractivity.h"

namespace halfarc {
namespace {

const Weather kNight{Pressure::hpa(1005.0), Temperature::kelvin(280.15), 0.0};
constexpr Length kBlue = Length::nm(450.0);
constexpr Length kRed = Length::nm(650.0);

// Brute force: the ray followed up through round, dry air that cools by 6.5 K/km to 11 km and no further.
double traced_arcsec(Length wavelength, Angle altitude) {
  constexpr double kEarth = 6.3781e6, kStep = 10.0, kTop = 80e3, kTropopause = 11e3, kPerMetre = 0.0065;
  const double t0 = kNight.temperature.kelvin();
  const auto refractivity_at = [&](double h) {
    const double t = t0 - kPerMetre * std::min(h, kTropopause);
    double p = std::pow(t / t0, 9.80665 * 0.0289644 / (8.31446 * kPerMetre));
    if (h > kTropopause) p *= std::exp(-(h - kTropopause) * 9.80665 * 0.0289644 / (8.31446 * t));
    return refractivity(wavelength, {kNight.pressure * p, Temperature::kelvin(t), 0.0});
  };
  const double invariant = (1.0 + refractivity_at(0.0)) * kEarth * cos(altitude);
  double sum = 0.0;
  double below = refractivity_at(0.0);
  for (double h = 0.0; h < kTop; h += kStep) {
    const double above = refractivity_at(h + kStep);
    const double n = 1.0 + 0.5 * (above + below);
    const double sine = invariant / (n * (kEarth + h + 0.5 * kStep));
    sum += (below - above) / n * sine / std::sqrt(1.0 - sine * sine);
    below = above;
  }
  return Angle::rad(sum).arcsec();
}

TEST(Lift, AgreesWithATracedRay) {
  for (const double degrees : {15.0, 20.0, 30.0, 45.0, 70.0}) {
    const Angle altitude = Angle::deg(degrees);
    EXPECT_NEAR(lift(kRed, kNight, altitude).arcsec(), traced_arcsec(kRed, altitude), 0.06) << degrees;
  }
  EXPECT_NEAR(lift(kRed, kNight, Angle::deg(10.0)).arcsec(), traced_arcsec(kRed, Angle::deg(10.0)), 0.7);
}

TEST(Dispersion, AgreesWithTracedRays) {
  for (const double degrees : {10.0, 15.0, 25.0, 50.0}) {
    const Angle altitude = Angle::deg(degrees);
    const double traced = traced_arcsec(kBlue, altitude) - traced_arcsec(kRed, altitude);
    EXPECT_NEAR(dispersion(kBlue, kRed, kNight, altitude).arcsec() / traced, 1.0, 0.002) << degrees;
  }
}

TEST(Dispersion, HasNoneOverheadAndIsItsOwnOpposite) {
  EXPECT_NEAR(dispersion(kBlue, kRed, kNight, Angle::deg(90.0)).arcsec(), 0.0, 1e-12);
  const Angle altitude = Angle::deg(30.0);
  EXPECT_GT(dispersion(kBlue, kRed, kNight, altitude).arcsec(), 0.0);
  EXPECT_EQ(dispersion(kBlue, kRed, kNight, altitude), -dispersion(kRed, kBlue, kNight, altitude));
}

TEST(Dispersion, ChangePerDegreeIsTheDerivative) {
  for (const double degrees : {12.0, 25.0, 45.0, 80.0}) {
    const auto at = [&](double d) { return dispersion(kBlue, kRed, kNight, Angle::deg(d)); };
    const Angle difference = (at(degrees + 0.01) - at(degrees - 0.01)) / 0.02;
    const Angle slope = dispersion_per_degree(kBlue, kRed, kNight, Angle::deg(degrees));
    EXPECT_NEAR(slope.arcsec(), difference.arcsec(), 1e-5) << degrees;
    EXPECT_LT(slope.arcsec(), 0.0);
  }
}

TEST(DispersedBand, OfOneColourIsThatColour) {
  const SpectralCurve line = SpectralCurve::box(Length::nm(449.9), Length::nm(450.1));
  const Angle altitude = Angle::deg(25.0);
  const DispersedBand band = disperse(line, kNight, altitude, kRed);
  EXPECT_NEAR(band.centroid.arcsec(), dispersion(kBlue, kRed, kNight, altitude).arcsec(), 2e-3);
  EXPECT_NEAR(band.centroid_per_degree.arcsec(), dispersion_per_degree(kBlue, kRed, kNight, altitude).arcsec(), 2e-4);
}

// A box whose lift is nearly straight in wavelength: width over sqrt 12, and a transfer of sin(pi f w) / (pi f w).
TEST(DispersedBand, OfABoxIsABox) {
  const Length from = Length::nm(600.0), to = Length::nm(650.0);
  const Angle altitude = Angle::deg(15.0);
  const DispersedBand band = disperse(SpectralCurve::box(from, to), kNight, altitude);
  const double width = dispersion(from, to, kNight, altitude).arcsec();
  EXPECT_NEAR(band.rms_width.arcsec() / (width / std::sqrt(12.0)), 1.0, 0.02);
  for (const double f : {0.3, 0.7, 1.2}) {
    const double x = std::numbers::pi * f * width;
    EXPECT_NEAR(vertical_mtf(band, SpatialFrequency::per_arcsec(f)), std::abs(std::sin(x) / x), 0.02) << f;
  }
}

TEST(DispersedBand, SharesAddUpAndTheTransferIsAboutTheCentroid) {
  const SpectralCurve green = SpectralCurve::through({{450.0, 0.0}, {530.0, 1.0}, {620.0, 0.0}});
  const DispersedBand band = disperse(green, kNight, Angle::deg(30.0));
  double shares = 0.0;
  for (const DispersedBand::Part& part : band.parts) shares += part.share;
  EXPECT_NEAR(shares, 1.0, 1e-12);
  const SpatialFrequency broad = SpatialFrequency::per_arcsec(0.02);
  EXPECT_NEAR(vertical_transfer(band, broad).imag(), 0.0, 1e-5);
  const double small = std::numbers::pi * broad.per_arcsec() * band.rms_width.arcsec();
  EXPECT_NEAR(vertical_mtf(band, broad), 1.0 - 2.0 * small * small, 1e-6);
}

TEST(DispersedBand, WithoutLightHasNothingToSmear) {
  const DispersedBand band = disperse(SpectralCurve{}, kNight, Angle::deg(30.0));
  EXPECT_EQ(band.centroid.arcsec(), 0.0);
  EXPECT_EQ(vertical_mtf(band, SpatialFrequency::per_arcsec(1.0)), 1.0);
}

}  // namespace
}  // namespace halfarc
