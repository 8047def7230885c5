// The statistics of turbulent air against published values.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>

#include "halfarc/air/turbulence.h"
#include "halfarc/optics/pupil.h"

namespace halfarc {
namespace {

constexpr Length kHalfMicron = Length::um(0.5);
constexpr Turbulence kTenCentimetres{Length::cm(10.0)};

// [Fried1966]: 6.88 (r/r0)^(5/3); the exact constant is 2 [(24/5) Gamma(6/5)]^(5/6).
TEST(Kolmogorov, StructureFunctionOfFried1966) {
  EXPECT_NEAR(kStructureConstant, 2.0 * std::pow(24.0 / 5.0 * std::tgamma(6.0 / 5.0), 5.0 / 6.0), 1e-12);
  EXPECT_NEAR(phase_structure(kTenCentimetres, Length::cm(10.0), kHalfMicron), 6.88, 0.005);
  EXPECT_NEAR(phase_structure(kTenCentimetres, Length::cm(80.0), kHalfMicron), 6.8838771823 * 32.0, 1e-6);
}

// [Noll1976]: 0.023 r0^(-5/3) k^(-11/3), to more digits 0.02289559; it follows from the structure constant:
// A = (24/5 Gamma(6/5))^(5/6) Gamma(11/6)^2 / (2 pi^(11/3)).
TEST(Kolmogorov, SpectrumConstantOfNoll1976) {
  const double exact = std::pow(24.0 / 5.0 * std::tgamma(6.0 / 5.0), 5.0 / 6.0) * std::pow(std::tgamma(11.0 / 6.0), 2) /
                       (2.0 * std::pow(std::numbers::pi, 11.0 / 3.0));
  EXPECT_NEAR(kSpectrumConstant, exact, 1e-15);
  EXPECT_NEAR(phase_power(kTenCentimetres, PupilFrequency::per_m(2.0), kHalfMicron),
              exact * std::pow(0.1, -5.0 / 3.0) * std::pow(2.0, -11.0 / 3.0), 1e-7);
}

// The von Karman spectrum and structure function are one law: D(r) = 2 Integral P(f) (1 - cos) d2f, by quadrature.
TEST(VonKarman, StructureFunctionIsTheTransformOfTheSpectrum) {
  const Turbulence air{Length::cm(10.0), kSeeingWavelength, Length::m(25.0)};
  for (const double r : {0.05, 0.2, 1.0, 8.0}) {
    double sum = 0.0;
    const double step = 0.002;
    for (double log_f = std::log(1e-4); log_f < std::log(1e4); log_f += step) {
      const double f = std::exp(log_f);
      const double ring = 1.0 - std::cyl_bessel_j(0.0, 2.0 * std::numbers::pi * f * r);
      sum += phase_power(air, PupilFrequency::per_m(f), kHalfMicron) * ring * 2.0 * std::numbers::pi * f * f * step;
      if (f * r > 300.0) break;
    }
    EXPECT_NEAR(2.0 * sum / phase_structure(air, Length::m(r), kHalfMicron), 1.0, 2e-4) << r;
  }
}

// Far apart the two places are independent, close together the outer scale does not matter.
TEST(VonKarman, Limits) {
  const Turbulence air{Length::cm(10.0), kSeeingWavelength, Length::m(25.0)};
  const double variance = phase_variance(air, kHalfMicron);
  EXPECT_NEAR(phase_structure(air, Length::km(10.0), kHalfMicron), 2.0 * variance, 1e-6 * variance);
  const Turbulence vast{Length::cm(10.0), kSeeingWavelength, Length::km(1000.0)};
  EXPECT_NEAR(phase_structure(vast, Length::cm(10.0), kHalfMicron) / kStructureConstant, 1.0, 0.01);
}

// Width of a star: 0.98 lambda/r0 (Dierickx 1992), 0.976 [Racine1996], 0.97586 (computed from the transfer function):
// here the half-maximum of the transform of exp(-D/2) is found by quadrature.
TEST(LongExposure, WidthOfRacine1996) {
  const auto profile = [](double v) {  // v = 2 pi theta r0 / lambda
    double sum = 0.0;
    const double step = 0.0005;
    for (double x = step / 2.0; x < 4.0; x += step) {
      sum += x * std::exp(-0.5 * kStructureConstant * std::pow(x, 5.0 / 3.0)) * std::cyl_bessel_j(0.0, v * x) * step;
    }
    return sum;
  };
  const double half = profile(0.0) / 2.0;
  double low = 1.0;
  double high = 6.0;
  for (int i = 0; i < 40; ++i) (profile(0.5 * (low + high)) > half ? low : high) = 0.5 * (low + high);
  EXPECT_NEAR(low / std::numbers::pi, 0.97586, 2e-5);
  EXPECT_NEAR(seeing_fwhm(kTenCentimetres, kHalfMicron).rad() / (0.5e-6 / 0.1), 0.97586, 5e-6);
  EXPECT_NEAR(seeing_fwhm(kTenCentimetres, kHalfMicron).arcsec(), 1.0064, 1e-4);
  EXPECT_NEAR(r0_of_seeing(seeing_fwhm(kTenCentimetres, kHalfMicron), kHalfMicron).cm(), 10.0, 1e-9);
}

// [Tokovinin2002] eq. 19, sqrt(1 - 2.183 (r0/L0)^0.356): ratios worked out for (wavelength nm, r0 at 500 nm, L0).
TEST(LongExposure, OuterScaleOfTokovinin2002) {
  struct Row {
    double nm, r0, outer_scale, ratio;
  };
  for (const Row& row :
       {Row{650, .15, 10, .67265}, Row{450, .12, 25, .82951}, Row{900, .18, 100, .83917}, Row{500, .10, 25, .83321}}) {
    const Turbulence finite{Length::m(row.r0), kSeeingWavelength, Length::m(row.outer_scale)};
    const Turbulence infinite{Length::m(row.r0)};
    const Length wavelength = Length::nm(row.nm);
    EXPECT_NEAR(seeing_fwhm(finite, wavelength) / seeing_fwhm(infinite, wavelength), row.ratio, 1e-5) << row.nm;
  }
}

// [Roddier1981]: r0 ~ lambda^(6/5) X^(-3/5), so the width goes as X^0.6 lambda^-0.2.
TEST(Kolmogorov, ScalingWithWavelengthAndAirmass) {
  EXPECT_NEAR(r0_at(kTenCentimetres, Length::um(0.65)).cm(), 13.700, 5e-4);
  EXPECT_NEAR(r0_at(kTenCentimetres, Length::um(0.45)).cm(), 8.812, 5e-4);
  EXPECT_NEAR(Length::cm(10.0) / r0_through(Length::cm(10.0), 1.5), 1.2754, 5e-5);
  EXPECT_NEAR(Length::cm(10.0) / r0_through(Length::cm(10.0), 2.0), 1.5157, 5e-5);
}

// One-axis image motion: 0.18192 (Zernike tilt, from the analytic coefficient of [Noll1976]) and 0.16980 (gradient,
// [Tokovinin2002]); at D = 0.235 m and 0.55 um the first is 0.75", 0.57", 0.42", 0.30" for r0 = 5, 7, 10, 15 cm there.
TEST(ImageMotion, Tilts) {
  const Length aperture = Length::m(0.235);
  const Length wavelength = Length::um(0.55);
  const std::array<std::array<double, 2>, 4> rows = {{{5, 0.75}, {7, 0.57}, {10, 0.42}, {15, 0.30}}};
  for (const auto& [r0_cm, arcsec] : rows) {
    EXPECT_NEAR(zernike_tilt_rms({Length::cm(r0_cm), wavelength}, aperture).arcsec(), arcsec, 0.0051) << r0_cm;
  }
  const Turbulence unit{aperture, wavelength};
  const double per_unit = (wavelength / aperture) * (wavelength / aperture);
  EXPECT_NEAR(std::pow(zernike_tilt_rms(unit, aperture).rad(), 2) / per_unit, 0.18192, 1e-5);
  EXPECT_NEAR(std::pow(gradient_tilt_rms(unit, aperture).rad(), 2) / per_unit, 0.16980, 1e-5);
  // The motion does not depend on the wavelength at which r0 is stated.
  const Turbulence same_air{r0_at(unit, Length::nm(700.0)), Length::nm(700.0)};
  EXPECT_NEAR(zernike_tilt_rms(same_air, aperture) / zernike_tilt_rms(unit, aperture), 1.0, 1e-12);
}

// [Roddier1981], single layer: tau0 = 0.314 r0/v (r0 0.1 m, v 10 m/s: 3.14 ms), theta0 = 0.314 r0/h.
TEST(OneLayer, LifeAndField) {
  EXPECT_NEAR(coherence_time(Length::cm(10.0), Speed::m_per_s(10.0)).ms(), 3.14, 1e-9);
  EXPECT_NEAR(isoplanatic_angle(Length::cm(10.0), Length::km(5.0)).arcsec(), 1.295, 1e-3);
}

// Resolution of [Fried1966]: the integral of telescope times air over all frequencies, in units of (pi/4)(r0/lambda)^2.
double resolution(double d_over_r0, double (*air)(const Turbulence&, Length, Length, SpatialFrequency)) {
  const Pupil pupil{Length::m(0.2), 0.0};
  const Turbulence turbulence{pupil.diameter / d_over_r0};
  const int steps = 4000;
  double sum = 0.0;
  for (int i = 0; i < steps; ++i) {
    const double x = (i + 0.5) / steps;
    const auto nu = cut_off(pupil, kHalfMicron) * x;
    sum += x * perfect_mtf(pupil, kHalfMicron, nu) * air(turbulence, kHalfMicron, pupil.diameter, nu) / steps;
  }
  return 8.0 * d_over_r0 * d_over_r0 * sum;
}
double near_field(const Turbulence& t, Length w, Length d, SpatialFrequency f) {
  return short_exposure_mtf(t, w, d, f, Propagation::near_field);
}
double far_field(const Turbulence& t, Length w, Length d, SpatialFrequency f) {
  return short_exposure_mtf(t, w, d, f, Propagation::far_field);
}
double long_exposure(const Turbulence& t, Length w, Length, SpatialFrequency f) { return long_exposure_mtf(t, w, f); }

// The reference values were integrated with the rounded 3.44, which moves them by up to 0.1 %.
TEST(ShortExposure, ResolutionOfFried1966) {
  struct Row {
    double d_over_r0, near, far, by_long;
  };
  for (const Row& row : {Row{1, 0.844, 0.586, 0.445}, Row{2, 2.361, 1.048, 0.699}, Row{3, 3.321, 1.189, 0.797},
                         Row{5, 3.202, 1.249, 0.878}, Row{7, 2.520, 1.253, 0.913}, Row{10, 2.051, 1.242, 0.939}}) {
    EXPECT_NEAR(resolution(row.d_over_r0, near_field) / row.near, 1.0, 1.2e-3) << row.d_over_r0;
    EXPECT_NEAR(resolution(row.d_over_r0, far_field) / row.far, 1.0, 1.2e-3) << row.d_over_r0;
    EXPECT_NEAR(resolution(row.d_over_r0, long_exposure) / row.by_long, 1.0, 1.2e-3) << row.d_over_r0;
  }
}

// [Fried1966] quotes a maximum of 3.5 near D/r0 = 3.8; the integral puts it at 3.74.
TEST(ShortExposure, BestApertureOfFried1966) {
  double best = 0.0;
  double at = 0.0;
  for (double d = 3.0; d <= 4.5; d += 0.01) {
    const double r = resolution(d, near_field);
    if (r > best) {
      best = r;
      at = d;
    }
  }
  EXPECT_NEAR(best, 3.50, 0.005);
  EXPECT_NEAR(at, 3.74, 0.02);
}

// [Fried1978]: one frame in 9 at D/r0 = 5, in 50 at 6, in 3800 at 8, quoted to one or two digits.
TEST(LuckyFrames, ProbabilityOfFried1978) {
  EXPECT_NEAR(1.0 / lucky_probability(5.0), 9.0, 0.5);
  EXPECT_NEAR(1.0 / lucky_probability(6.0), 50.0, 3.0);
  EXPECT_NEAR(1.0 / lucky_probability(8.0), 3800.0, 50.0);
  // His table at 10 and 15 (from memory): 1.07e-6 +- 0.48e-6, 3.40e-15 +- 0.59e-15.
  EXPECT_NEAR(lucky_probability(10.0), 1.07e-6, 0.48e-6);
  EXPECT_NEAR(lucky_probability(15.0), 3.40e-15, 0.59e-15);
}

}  // namespace
}  // namespace halfarc
