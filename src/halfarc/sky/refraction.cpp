#include "halfarc/sky/refraction.h"

#include <erfa.h>

#include <algorithm>
#include <cmath>

namespace halfarc::sky {
namespace {

constexpr double kJoinDeg = 10.0;

// From the true altitude: solves z_true = z_seen + refraction(z_seen).
Angle by_constants(Angle true_altitude, double a, double b) {
  const double z_true = Angle::deg(90.0).rad() - true_altitude.rad();
  double z_seen = z_true;
  for (int i = 0; i < 6; ++i) {
    const double t = std::tan(z_seen);
    z_seen = z_true - (a + b * t * t) * t;
  }
  return Angle::rad(z_true - z_seen);
}

}  // namespace

Angle saemundsson_refraction(Angle true_altitude) {
  const double h = true_altitude.deg();
  return Angle::arcmin(1.02 / tan(Angle::deg(h + 10.3 / (h + 5.11))));
}

Angle refraction(Angle true_altitude, const Weather& weather, Length wavelength) {
  double a = 0.0, b = 0.0;
  eraRefco(weather.pressure.hpa(), weather.temperature.celsius(), weather.relative_humidity, wavelength.um(), &a, &b);
  const Angle join = Angle::deg(kJoinDeg);
  if (true_altitude >= join) return by_constants(true_altitude, a, b);
  const double scale = by_constants(join, a, b) / saemundsson_refraction(join);
  const Angle lowest = Angle::deg(-1.0);
  const Angle low = scale * saemundsson_refraction(std::max(true_altitude, lowest));
  if (true_altitude >= lowest) return low;
  return low * std::clamp((true_altitude.deg() + 6.0) / 5.0, 0.0, 1.0);
}

double airmass(Angle apparent_altitude) {
  const double h = std::max(apparent_altitude.deg(), 0.0);
  return 1.0 / (std::sin(h * Angle::kRadPerDeg) + 0.50572 * std::pow(h + 6.07995, -1.6364));
}

}  // namespace halfarc::sky
