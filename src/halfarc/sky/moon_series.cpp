#include "halfarc/sky/moon_series.h"

#include <array>
#include <span>

#include "halfarc/sky/coordinates.h"

namespace halfarc::sky {
namespace {

struct Term {
  char coordinate;
  int power;
  double amplitude;
  std::array<double, 5> phase;
};
constexpr Term kTerms[] = {
#include "sky/elpmpp02_moon.inc"
};

// data: [Chapront2003] ELP/MPP02 fitted to DE405: the Moon's mean longitude (rad), the place of the moving ecliptic
// (Laskar's P and Q), general precession in longitude (arcsec), all in Julian centuries.
constexpr std::array kMeanLongitude = {3.8103440908308803, 8399.68473007193, -0.00003318952042550094,
                                       3.1102494491060616e-8, -2.0328237648922845e-10};
constexpr std::array kP = {0.0, 0.10180391e-4, 0.47020439e-6, -0.5417367e-9, -0.2507948e-11, 0.463486e-14};
constexpr std::array kQ = {0.0, -0.113469002e-3, 0.12372674e-6, 0.12654170e-8, -0.1371808e-11, -0.320334e-14};
constexpr std::array kPrecession = {0.0, 5029.0966 - 0.29965, 1.1120, 0.000077, -0.00002353};

template <std::size_t N>
double polynomial(double t, const std::array<double, N>& c) {
  double sum = 0.0;
  for (auto k = c.rbegin(); k != c.rend(); ++k) sum = sum * t + *k;
  return sum;
}

struct Spherical {
  double longitude = 0.0, latitude = 0.0, distance_km = 0.0;
};

Spherical sum(double t) {
  Spherical s;
  double longitude = 0.0, latitude = 0.0;
  const std::span<const Term> terms = kTerms;
  std::size_t i = 0;
  while (i < terms.size()) {
    const char coordinate = terms[i].coordinate;
    const int power = terms[i].power;
    double run = 0.0;
    for (; i < terms.size() && terms[i].coordinate == coordinate && terms[i].power == power; ++i) {
      run += terms[i].amplitude * std::sin(polynomial(t, terms[i].phase));
    }
    double& target = coordinate == 'L' ? longitude : coordinate == 'B' ? latitude : s.distance_km;
    target += run * std::pow(t, power);
  }
  s.longitude = polynomial(t, kMeanLongitude) + longitude * Angle::kRadPerArcsec;
  s.latitude = latitude * Angle::kRadPerArcsec;
  return s;
}

// From the inertial mean ecliptic of J2000 of the theory to the ICRF: obliquity 23 deg 26' 21.411", and 0.05542" from
// the equinox to the origin of right ascensions [Chapront2002].
Vec3 icrf_from_ecliptic(Vec3 v) {
  const Angle obliquity = Angle::arcsec(84381.411), origin = Angle::arcsec(-0.05542);
  const double ce = cos(obliquity), se = sin(obliquity), co = cos(origin), so = sin(origin);
  const Vec3 e = {v.x, ce * v.y - se * v.z, se * v.y + ce * v.z};
  return {co * e.x - so * e.y, so * e.x + co * e.y, e.z};
}

}  // namespace

Vec3 geocentric_moon(Tt t) {
  const double c = t.centuries();
  const Spherical s = sum(c);
  const Vec3 v = direction(Angle::rad(s.longitude), Angle::rad(s.latitude));
  const double p = polynomial(c, kP), q = polynomial(c, kQ), w = std::sqrt(1.0 - p * p - q * q);
  const Vec3 ecliptic = {(1.0 - 2.0 * p * p) * v.x + 2.0 * p * q * v.y + 2.0 * p * w * v.z,
                         2.0 * p * q * v.x + (1.0 - 2.0 * q * q) * v.y - 2.0 * q * w * v.z,
                         -2.0 * p * w * v.x + 2.0 * q * w * v.y + (1.0 - 2.0 * p * p - 2.0 * q * q) * v.z};
  return (s.distance_km * 1000.0 / kMetresPerAu) * icrf_from_ecliptic(ecliptic);
}

MoonEcliptic moon_mean_ecliptic_of_date(Tt t) {
  const Spherical s = sum(t.centuries());
  const Angle precession = Angle::arcsec(polynomial(t.centuries(), kPrecession));
  return {wrap_positive(Angle::rad(s.longitude) + precession), Angle::rad(s.latitude), s.distance_km};
}

}  // namespace halfarc::sky
