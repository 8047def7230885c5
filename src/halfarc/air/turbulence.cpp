#include "halfarc/air/turbulence.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace halfarc {
namespace {

using std::numbers::pi;

double five_thirds(double x) { return std::pow(x, 5.0 / 3.0); }
bool is_kolmogorov(const Turbulence& air) { return !std::isfinite(air.outer_scale.m()); }

// The separation in the pupil that makes the spatial frequency on the sky: lambda nu.
Length baseline(Length wavelength, SpatialFrequency frequency) { return wavelength * std::abs(frequency.per_rad()); }

// The mean square of one Zernike coefficient of radial order n >= 1 at D/r0 = 1: the integral of the spectrum over
// the square of the polynomial's transform, in closed form ([Noll1976], eq. 25, with the exact constant).
double coefficient_variance(int n) {
  const double gammas = std::lgamma(14.0 / 3.0) + std::lgamma(n - 5.0 / 6.0) - 2.0 * std::lgamma(17.0 / 6.0) -
                        std::lgamma(n + 23.0 / 6.0);
  return 2.0 / pi * kSpectrumConstant * std::pow(0.5, 5.0 / 3.0) * (n + 1) * std::pow(2.0 * pi, 11.0 / 3.0) *
         std::pow(0.5, 14.0 / 3.0) * std::exp(gammas);
}

// Half the mean of D(r) over all pairs of points of a disc: the mean of r^(5/3) is in closed form (disc line picking).
double piston_removed_variance() {
  constexpr double s = 5.0 / 3.0;
  const double mean_power =
      std::pow(2.0, s + 3.0) * std::tgamma((3.0 + s) / 2.0) / (std::sqrt(pi) * (s + 2.0) * std::tgamma(3.0 + s / 2.0));
  return 0.5 * kStructureConstant * mean_power * std::pow(0.5, s);
}

Angle tilt_rms(double constant, const Turbulence& air, Length aperture) {
  const double motion = std::sqrt(constant * five_thirds(aperture / air.r0));
  return Angle::rad(motion * (air.wavelength / aperture));
}

}  // namespace

Length r0_at(const Turbulence& air, Length wavelength) {
  return air.r0 * std::pow(wavelength / air.wavelength, 6.0 / 5.0);
}

Length r0_through(Length r0_at_zenith, double airmass) { return r0_at_zenith * std::pow(airmass, -3.0 / 5.0); }

double phase_variance(const Turbulence& air, Length wavelength) {
  // The spectrum integrated over the plane: pi (6/5) 0.0229 (L0/r0)^(5/3).
  return 1.2 * pi * kSpectrumConstant * five_thirds(air.outer_scale / r0_at(air, wavelength));
}

double phase_structure(const Turbulence& air, Length separation, Length wavelength) {
  const double r = std::abs(separation.m());
  if (r == 0.0) return 0.0;
  if (is_kolmogorov(air)) return kStructureConstant * five_thirds(r / r0_at(air, wavelength).m());
  // 2 B(0) (1 - 2^(1/6) / Gamma(5/6) x^(5/6) K_5/6(x)), x = 2 pi r / L0.
  const double x = 2.0 * pi * r / air.outer_scale.m();
  const double correlation = x > 600.0 ? 0.0
                                       : std::pow(2.0, 1.0 / 6.0) / std::tgamma(5.0 / 6.0) * std::pow(x, 5.0 / 6.0) *
                                             std::cyl_bessel_k(5.0 / 6.0, x);
  return 2.0 * phase_variance(air, wavelength) * (1.0 - correlation);
}

double phase_power(const Turbulence& air, PupilFrequency frequency, Length wavelength) {
  const double f = frequency.per_m();
  const double f0 = is_kolmogorov(air) ? 0.0 : 1.0 / air.outer_scale.m();
  return kSpectrumConstant * std::pow(r0_at(air, wavelength).m(), -5.0 / 3.0) * std::pow(f * f + f0 * f0, -11.0 / 6.0);
}

double long_exposure_mtf(const Turbulence& air, Length wavelength, SpatialFrequency frequency) {
  return std::exp(-0.5 * phase_structure(air, baseline(wavelength, frequency), wavelength));
}

double short_exposure_mtf(const Turbulence& air, Length wavelength, Length aperture, SpatialFrequency frequency,
                          Propagation propagation) {
  const Length b = baseline(wavelength, frequency);
  const double share = propagation == Propagation::near_field ? 1.0 : 0.5;
  const double tilt_removed = 1.0 - share * std::cbrt(std::min(b / aperture, 1.0));
  return std::exp(-0.5 * kStructureConstant * five_thirds(b / r0_at(air, wavelength)) * tilt_removed);
}

Angle seeing_fwhm(const Turbulence& air, Length wavelength) {
  const Length r0 = r0_at(air, wavelength);
  const double large_scales =
      is_kolmogorov(air) ? 1.0 : std::max(0.0, 1.0 - 2.183 * std::pow(r0 / air.outer_scale, 0.356));
  return Angle::rad(0.97586343 * (wavelength / r0) * std::sqrt(large_scales));
}

Length r0_of_seeing(Angle fwhm, Length wavelength) { return wavelength * (0.97586343 / fwhm.rad()); }

Angle zernike_tilt_rms(const Turbulence& air, Length aperture) {
  // A tilt of unit rms over the disc is a slope of 4 / D, so the angle is (4 / 2 pi) lambda / D times the coefficient.
  constexpr double per_coefficient = 4.0 / (pi * pi);
  return tilt_rms(per_coefficient * coefficient_variance(1), air, aperture);
}

Angle gradient_tilt_rms(const Turbulence& air, Length aperture) { return tilt_rms(0.16980, air, aperture); }

double noll_residual(int modes) {
  double residual = piston_removed_variance();
  int counted = 1;
  for (int n = 1; counted < modes; ++n) {
    const int taken = std::min(n + 1, modes - counted);
    residual -= taken * coefficient_variance(n);
    counted += taken;
  }
  return residual;
}

Duration coherence_time(Length r0, Speed wind) { return Duration::s(0.314 * r0.m() / wind.m_per_s()); }

Angle isoplanatic_angle(Length r0, Length height) { return Angle::rad(0.314 * (r0 / height)); }

double lucky_probability(double aperture_over_r0) {
  return std::min(1.0, 5.6 * std::exp(-0.1557 * aperture_over_r0 * aperture_over_r0));
}

}  // namespace halfarc
