#include "halfarc/sky/planet_series.h"

#include <array>
#include <span>

namespace halfarc::sky {
namespace {

struct Term {
  char coordinate;
  int power;
  double amplitude, phase, frequency;
};

constexpr Term kMercury[] = {
#include "sky/vsop87b_mercury.inc"
};
constexpr Term kVenus[] = {
#include "sky/vsop87b_venus.inc"
};
constexpr Term kMars[] = {
#include "sky/vsop87b_mars.inc"
};
constexpr Term kJupiter[] = {
#include "sky/vsop87b_jupiter.inc"
};
constexpr Term kSaturn[] = {
#include "sky/vsop87b_saturn.inc"
};
constexpr Term kUranus[] = {
#include "sky/vsop87b_uranus.inc"
};
constexpr Term kNeptune[] = {
#include "sky/vsop87b_neptune.inc"
};

struct Correction {
  double mean_longitude, rate;
  std::array<double, 9> longitude;
  std::array<double, 4> latitude;
  std::array<double, 9> radius;
};
constexpr Correction kOuter[] = {
#include "sky/outer_corrections.inc"
};

std::span<const Term> terms_of(Body planet) {
  switch (planet) {
    case Body::mercury:
      return kMercury;
    case Body::venus:
      return kVenus;
    case Body::mars:
      return kMars;
    case Body::jupiter:
      return kJupiter;
    case Body::saturn:
      return kSaturn;
    case Body::uranus:
      return kUranus;
    case Body::neptune:
      return kNeptune;
    case Body::sun:
    case Body::moon:
      break;
  }
  return {};
}

struct Spherical {
  double longitude = 0.0, latitude = 0.0, radius = 0.0;
};

// The terms of one coordinate and one power follow each other in the tables.
Spherical sum(std::span<const Term> terms, double thousand_years) {
  Spherical s;
  std::size_t i = 0;
  while (i < terms.size()) {
    const char coordinate = terms[i].coordinate;
    const int power = terms[i].power;
    double run = 0.0;
    for (; i < terms.size() && terms[i].coordinate == coordinate && terms[i].power == power; ++i) {
      run += terms[i].amplitude * std::cos(terms[i].phase + terms[i].frequency * thousand_years);
    }
    double& target = coordinate == 'L' ? s.longitude : coordinate == 'B' ? s.latitude : s.radius;
    target += run * std::pow(thousand_years, power);
  }
  return s;
}

void correct(Spherical& s, const Correction& c, double thousand_years) {
  const double a = c.mean_longitude + c.rate * thousand_years;
  const double u = 10.0 * thousand_years;
  const double ca = std::cos(a), sa = std::sin(a);
  const std::array<double, 9> wide = {1.0, u, u * u, ca, sa, u * ca, u * sa, std::cos(2.0 * a), std::sin(2.0 * a)};
  const std::array<double, 4> narrow = {ca, sa, u * ca, u * sa};
  double longitude = 0.0, latitude = 0.0, radius = 0.0;
  for (std::size_t i = 0; i < wide.size(); ++i) {
    longitude += c.longitude[i] * wide[i];
    radius += c.radius[i] * wide[i];
  }
  for (std::size_t i = 0; i < narrow.size(); ++i) latitude += c.latitude[i] * narrow[i];
  s.longitude += longitude * Angle::kRadPerArcsec;
  s.latitude += latitude * Angle::kRadPerArcsec;
  s.radius *= 1.0 + radius * Angle::kRadPerArcsec;
}

// From the dynamical ecliptic and equinox J2000 of VSOP87 to the equator [Bretagnon1988, table of the rotations]. The
// equator of FK5 is taken for that of the ICRF: against DE441 the inner planets fit better without the further turn
// from FK5 to ICRF (0.03" instead of 0.04").
constexpr Rotation3 kIcrfFromVsop = {{1.0, 4.40360e-7, -1.90919e-7},
                                     {-4.79966e-7, 0.917482137087, -0.397776982902},
                                     {0.0, 0.397776982902, 0.917482137087}};

}  // namespace

Vec3 heliocentric_planet(Body planet, Tt t) {
  const double thousand_years = t.days() / 365250.0;
  Spherical s = sum(terms_of(planet), thousand_years);
  if (planet >= Body::jupiter) {
    correct(s, kOuter[static_cast<int>(planet) - static_cast<int>(Body::jupiter)], thousand_years);
  }
  return s.radius * (kIcrfFromVsop * direction(Angle::rad(s.longitude), Angle::rad(s.latitude)));
}

}  // namespace halfarc::sky
