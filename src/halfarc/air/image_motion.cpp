#include "halfarc/air/image_motion.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace halfarc {
namespace {

using std::numbers::pi;

// 1 - S(a): the mean over directions of 1 - sinc^2(a cos t), which is 1 - 2 Integral_0^1 (1 - u) J0(2 a u) du.
double lost_to_averaging(double a) {
  if (a < 0.02) return a * a / 6.0;
  if (a > 40.0) return 1.0 - 1.0 / a;
  const int intervals = 2 * (8 + static_cast<int>(2.0 * a));
  const double step = 1.0 / intervals;
  double sum = 1.0;  // u = 0; u = 1 counts for nothing
  for (int i = 1; i < intervals; ++i) {
    const double u = i * step;
    sum += (i % 2 == 1 ? 4.0 : 2.0) * (1.0 - u) * std::cyl_bessel_j(0.0, 2.0 * a * u);
  }
  return 1.0 - 2.0 * sum * step / 3.0;
}

// The share of a slope's amplitude that is common to a disc: 2 J1(x) / x.
double common_to_disc(double x) { return x < 1e-4 ? 1.0 : 2.0 * std::cyl_bessel_j(1.0, x) / x; }

enum class Part { kept, lost };

// By a sum over ln f, from scales so vast that they no longer tilt anything to a hundredth of the aperture.
Angle motion_rms(const Turbulence& air, Length aperture, Duration exposure, Speed wind, Part part) {
  const double travel = std::abs(wind.m_per_s()) * exposure.s();
  constexpr double kStep = 0.05;
  const double last = std::log(100.0 / aperture.m());
  const double first = std::log(1e-13 / std::max(aperture.m(), travel));
  double sum = 0.0;
  for (double log_f = first; log_f < last; log_f += kStep) {
    const double f = std::exp(log_f);
    const double disc = common_to_disc(pi * aperture.m() * f);
    const double lost = lost_to_averaging(pi * travel * f);
    sum += std::pow(f, 4) * phase_power(air, PupilFrequency::per_m(f), air.wavelength) * disc * disc *
           (part == Part::kept ? 1.0 - lost : lost);
  }
  return Angle::rad(air.wavelength.m() * std::sqrt(pi * sum * kStep));
}

}  // namespace

Angle averaged_motion_rms(const Turbulence& air, Length aperture, Duration exposure, Speed wind) {
  return motion_rms(air, aperture, exposure, wind, Part::kept);
}

Angle smearing_motion_rms(const Turbulence& air, Length aperture, Duration exposure, Speed wind) {
  return motion_rms(air, aperture, exposure, wind, Part::lost);
}

}  // namespace halfarc
