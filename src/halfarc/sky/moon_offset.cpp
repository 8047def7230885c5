#include "halfarc/sky/moon_offset.h"

#include "halfarc/sky/coordinates.h"
#include "halfarc/sky/figure.h"
#include "halfarc/sky/rotation.h"

namespace halfarc::sky {

MoonFrame moon_frame(Body planet, Vec3 eye_to_planet, Tt then) {
  const Equatorial pole = north_pole(planet, then);
  const Vec3 u = unit(eye_to_planet), p = direction(pole.ra, pole.dec);
  const Vec3 north = unit(p - dot(p, u) * u);
  return {u, north, cross(u, north), norm(eye_to_planet), in_astronomical_units(figure_of(planet).equatorial)};
}

MoonOffset seen_beside(const MoonFrame& frame, Vec3 from_planet, Vec3 velocity) {
  const double nearer = -dot(from_planet, frame.line_of_sight);  // au
  const double later = nearer * kMetresPerAu / 299792458.0;      // s
  const Vec3 v = from_planet + later * velocity;
  const double away = dot(v, frame.line_of_sight);
  const double scale = frame.distance_au / (frame.distance_au + away) / frame.radius_au;
  return {dot(v, frame.west) * scale, dot(v, frame.north) * scale, -away / frame.radius_au};
}

}  // namespace halfarc::sky
