#include "halfarc/sky/rotation.h"

#include <cmath>

namespace halfarc::sky {
namespace {

struct Pole {
  Body body;
  double ra, ra_rate, dec, dec_rate;
};
constexpr Pole kPoles[] = {
#include "sky/rotation_poles.inc"
};

struct Meridian {
  Body body;
  int system;
  double angle, rate, acceleration;
};
constexpr Meridian kMeridians[] = {
#include "sky/rotation_meridians.inc"
};

struct Term {
  Body body;
  char quantity, shape;
  double amplitude, phase, rate;
  char unit;
};
constexpr Term kTerms[] = {
#include "sky/rotation_terms.inc"
};

double periodic(Body body, char quantity, Tt t) {
  double sum = 0.0;
  for (const auto& term : kTerms) {
    if (term.body != body || term.quantity != quantity) continue;
    const Angle argument = Angle::deg(term.phase + term.rate * (term.unit == 'T' ? t.centuries() : t.days()));
    sum += term.amplitude * (term.shape == 's' ? sin(argument) : cos(argument));
  }
  return sum;
}

const Meridian* meridian_of(Body body, LongitudeSystem system) {
  for (const auto& m : kMeridians) {
    if (m.body == body && m.system == static_cast<int>(system) + 1) return &m;
  }
  return nullptr;
}

}  // namespace

std::string_view name_of(LongitudeSystem system) {
  constexpr std::string_view names[] = {"I", "II", "III"};
  return names[static_cast<std::size_t>(system)];
}

std::span<const LongitudeSystem> systems_of(Body body) {
  static constexpr std::array all = {LongitudeSystem::one, LongitudeSystem::two, LongitudeSystem::three};
  const std::span<const LongitudeSystem> systems = all;
  return body == Body::jupiter || body == Body::saturn ? systems : systems.first(1);
}

Equatorial north_pole(Body body, Tt t) {
  for (const auto& p : kPoles) {
    if (p.body != body) continue;
    return {Angle::deg(p.ra + p.ra_rate * t.centuries() + periodic(body, 'a', t)),
            Angle::deg(p.dec + p.dec_rate * t.centuries() + periodic(body, 'd', t))};
  }
  return {};
}

std::optional<Angle> prime_meridian(Body body, LongitudeSystem system, Tt t) {
  const Meridian* m = meridian_of(body, system);
  if (m == nullptr) return std::nullopt;
  const double d = t.days();
  return wrap_positive(Angle::deg(m->angle + m->rate * d + m->acceleration * d * d + periodic(body, 'w', t)));
}

AngularRate spin_rate(Body body, LongitudeSystem system) {
  const Meridian* m = meridian_of(body, system);
  return AngularRate::deg_per_day(m == nullptr ? 0.0 : m->rate);
}

Rotation3 body_from_icrf(Body body, LongitudeSystem system, Tt t) {
  const Equatorial pole = north_pole(body, t);
  const Angle w = prime_meridian(body, system, t).value_or(Angle());
  const Vec3 z = direction(pole.ra, pole.dec);
  const Vec3 node = {-sin(pole.ra), cos(pole.ra), 0.0};
  const Vec3 ahead = cross(z, node);
  const Vec3 x = cos(w) * node + sin(w) * ahead;
  return {x, cross(z, x), z};
}

bool counts_longitude_eastward(Body body) {
  return body == Body::sun || body == Body::moon || body == Body::venus || body == Body::uranus;
}

}  // namespace halfarc::sky
