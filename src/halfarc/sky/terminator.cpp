#include "halfarc/sky/terminator.h"

#include <cmath>

#include "halfarc/sky/disc.h"
#include "halfarc/sky/figure.h"

namespace halfarc::sky {
namespace {

// The Sun and the observer from the body's centre, in the body's own turning frame.
struct Directions {
  Vec3 sun, observer;
  Length distance;
};

Directions directions(Body body, const Site& site, Utc at) {
  const Observer o = observe_from(site, at);
  const Place p = place_of(body, o);
  const Rotation3 frame = body_from_icrf(body, systems_of(body).front(), o.tt - p.light_time);
  return {frame * unit(-p.from_sun), frame * unit(-p.from_observer), p.distance};
}

// Of the two points at a latitude where the Sun stands level, the one that faces `observer` better.
std::optional<Vec3> level_sun(Vec3 sun, Angle latitude, Vec3 observer) {
  const double beside = -tan(latitude) * sun.z / std::hypot(sun.x, sun.y);  // cosine of the angle from noon
  if (!(std::abs(beside) < 1.0)) return std::nullopt;
  const Angle noon = longitude_of(sun), apart = Angle::rad(std::acos(beside));
  const Vec3 morning = direction(noon - apart, latitude), evening = direction(noon + apart, latitude);
  return dot(morning, observer) > dot(evening, observer) ? morning : evening;
}

}  // namespace

std::optional<TerminatorMotion> terminator_motion(Body body, const Site& site, Utc at, Angle latitude) {
  if (body == Body::sun) return std::nullopt;
  const Duration step = Duration::minutes(1.0);
  const Directions now = directions(body, site, at);
  const auto point = level_sun(now.sun, latitude, now.observer);
  if (!point || dot(*point, now.observer) <= 0.0) return std::nullopt;
  const Vec3 p = *point;
  const Vec3 moved = directions(body, site, at + step).sun - directions(body, site, at - step).sun;

  TerminatorMotion m;
  m.latitude = latitude;
  m.east_longitude = longitude_of(p);
  m.sun_altitude = AngularRate::rad_per_s(dot(p, moved) / (2.0 * step.s()));
  m.sunrise = m.sun_altitude > AngularRate();
  const Length radius = figure_of(body).equatorial;
  m.over_ground = Speed::m_per_s(radius.m() * abs(m.sun_altitude).rad_per_s());
  const double along = dot(cross(p, now.sun), now.observer);
  const double foreshortened = dot(p, now.observer) / std::sqrt(1.0 - along * along);
  m.on_sky = radius / now.distance * foreshortened * abs(m.sun_altitude);
  return m;
}

}  // namespace halfarc::sky
