#include "halfarc/sky/disc.h"

#include <cmath>

#include "halfarc/sky/figure.h"

namespace halfarc::sky {
namespace {

SubPoint sub_point(Body body, Vec3 from_body, Tt at) {
  const Figure figure = figure_of(body);
  const double squash = figure.polar / figure.equatorial;
  SubPoint p;
  const Vec3 seen = body_from_icrf(body, systems_of(body).front(), at) * from_body;
  p.planetocentric_latitude = latitude_of(seen);
  p.planetographic_latitude =
      Angle::rad(std::atan2(sin(p.planetocentric_latitude), squash * squash * cos(p.planetocentric_latitude)));
  for (const LongitudeSystem system : systems_of(body)) {
    const Angle east = longitude_of(body_from_icrf(body, system, at) * from_body);
    p.longitude[static_cast<std::size_t>(system)] = counts_longitude_eastward(body) ? east : wrap_positive(-east);
  }
  return p;
}

}  // namespace

Angle position_angle(Vec3 line_of_sight_icrf, Vec3 towards_icrf, const Observer& observer) {
  const Vec3 s = observer.date_from_icrf * line_of_sight_icrf, w = observer.date_from_icrf * towards_icrf;
  const Angle ra = longitude_of(s), dec = latitude_of(s);
  const Vec3 east = {-sin(ra), cos(ra), 0.0};
  const Vec3 north = {-sin(dec) * cos(ra), -sin(dec) * sin(ra), cos(dec)};
  return wrap_positive(Angle::rad(std::atan2(dot(w, east), dot(w, north))));
}

double apparent_polar_ratio(double polar_over_equatorial, Angle planetocentric_latitude) {
  const double c = cos(planetocentric_latitude), s = sin(planetocentric_latitude);
  return std::sqrt(polar_over_equatorial * polar_over_equatorial * c * c + s * s);
}

Disc disc_of(Body body, const Place& place, const Observer& observer) {
  const Tt then = observer.tt - place.light_time;
  const Figure figure = figure_of(body);
  Disc d;
  d.sub_observer = sub_point(body, -place.from_observer, then);
  d.equatorial_diameter = 2.0 * Angle::rad(std::asin(figure.equatorial / place.distance));
  d.polar_diameter = apparent_polar_ratio(figure.polar / figure.equatorial, d.sub_observer.planetocentric_latitude) *
                     d.equatorial_diameter;
  const Equatorial pole = north_pole(body, then);
  d.pole_angle = position_angle(place.from_observer, direction(pole.ra, pole.dec), observer);
  if (body == Body::sun) return d;
  d.sub_solar = sub_point(body, -place.from_sun, then);
  d.phase_angle = angle_between(-place.from_sun, -place.from_observer);
  d.illuminated_fraction = 0.5 * (1.0 + cos(d.phase_angle));
  d.bright_limb = position_angle(place.from_observer, -place.from_sun, observer);
  return d;
}

Angle phase_corrected(Angle central_meridian, Angle phase_angle, bool sun_is_ahead) {
  const double s = sin(0.5 * phase_angle);
  const Angle correction = Angle::rad(s * s);
  return wrap_positive(sun_is_ahead ? central_meridian + correction : central_meridian - correction);
}

}  // namespace halfarc::sky
