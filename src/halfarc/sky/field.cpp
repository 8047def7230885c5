#include "halfarc/sky/field.h"

#include <erfa.h>

#include <algorithm>
#include <limits>

namespace halfarc::sky {

Angle parallactic_angle(Angle hour_angle, Angle declination, Angle latitude) {
  return Angle::rad(eraHd2pa(hour_angle.rad(), declination.rad(), latitude.rad()));
}

AltAzMotion alt_az_motion(Horizontal direction, Angle latitude) {
  const double ca = cos(direction.azimuth), sa = sin(direction.azimuth);
  const double cp = cos(latitude), sp = sin(latitude);
  return {kSiderealRate * (sp - cp * ca * tan(direction.altitude)), kSiderealRate * (cp * sa),
          kSiderealRate * (-cp * ca / cos(direction.altitude))};
}

Smear smear(Angle equatorial_diameter, AngularRate spin, Angle sub_observer_latitude, AngularRate field_rotation) {
  const double radius = 0.5 * equatorial_diameter.rad();
  Smear s;
  s.centre = radius * cos(sub_observer_latitude) * abs(spin);
  s.limb = radius * abs(field_rotation);
  s.worst = std::max(s.centre, s.limb);
  return s;
}

Duration longest_run(const Smear& smear, Angle allowed) {
  if (smear.worst.rad_per_s() <= 0.0) return Duration::s(std::numeric_limits<double>::infinity());
  return Duration::s(allowed.rad() / smear.worst.rad_per_s());
}

}  // namespace halfarc::sky
