#include "halfarc/sky/moon_face.h"

#include <cmath>

namespace halfarc::sky {

MoonFace moon_face(const Disc& disc) {
  MoonFace f;
  f.libration_longitude = wrap_signed(disc.sub_observer.in(LongitudeSystem::one).value_or(Angle()));
  f.libration_latitude = disc.sub_observer.planetocentric_latitude;
  f.axis_angle = wrap_signed(disc.pole_angle);
  f.sub_solar_longitude = disc.sub_solar.in(LongitudeSystem::one).value_or(Angle());
  f.sub_solar_latitude = disc.sub_solar.planetocentric_latitude;
  f.colongitude = wrap_positive(Angle::deg(90.0) - f.sub_solar_longitude);
  return f;
}

Angle sun_altitude_on_moon(const MoonFace& face, Angle east_longitude, Angle latitude) {
  const Vec3 up = direction(east_longitude, latitude);
  const Vec3 sun = direction(face.sub_solar_longitude, face.sub_solar_latitude);
  return Angle::deg(90.0) - angle_between(up, sun);
}

}  // namespace halfarc::sky
