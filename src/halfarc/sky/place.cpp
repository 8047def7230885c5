#include "halfarc/sky/place.h"

#include <erfa.h>

#include <algorithm>

#include "halfarc/sky/moon_series.h"
#include "halfarc/sky/planet_series.h"

namespace halfarc::sky {
namespace {

constexpr double kSecondsPerAu = kMetresPerAu / 299792458.0;

Equatorial equatorial_of(Vec3 v) { return {longitude_of(v), latitude_of(v)}; }

// Earth and Sun keep moving while the light of a near body travels; both moves are straight lines for that long.
struct Moving {
  Vec3 now;       // au
  Vec3 velocity;  // au per day
  Vec3 before(Duration d) const { return now - d.days() * velocity; }
};

// The body from the barycentre at `light_time` before the observer's instant.
Vec3 barycentric(Body body, const Observer& o, const Moving& earth, const Moving& sun, Duration light_time) {
  if (body == Body::sun) return sun.before(light_time);
  if (body == Body::moon) return earth.before(light_time) + geocentric_moon(o.tt - light_time);
  return sun.before(light_time) + heliocentric_planet(body, o.tt - light_time);
}

Vec3 bent_by_the_sun(Vec3 direction, Vec3 from_sun, const Observer& o) {
  const Vec3 sun_to_observer = o.position - o.sun_centre;
  const Vec3 e = unit(sun_to_observer), q = unit(from_sun);
  double p[3] = {direction.x, direction.y, direction.z}, bent[3];
  double e3[3] = {e.x, e.y, e.z}, q3[3] = {q.x, q.y, q.z};
  // Inside the Sun's disc the bending is held at its value near the limb.
  const double limit = 1e-5;
  eraLd(1.0, p, q3, e3, norm(sun_to_observer), limit, bent);
  return {bent[0], bent[1], bent[2]};
}

}  // namespace

Equatorial apparent_of(Vec3 from_observer, Vec3 from_sun, const Observer& o) {
  Vec3 p = unit(from_observer);
  const bool beyond_the_earth = norm(from_observer) > 0.01;  // light from the Moon does not pass the Sun
  if (beyond_the_earth && norm(from_sun) > 0.05) p = bent_by_the_sun(p, from_sun, o);
  double natural[3] = {p.x, p.y, p.z}, proper[3];
  double v[3] = {o.velocity_over_c.x, o.velocity_over_c.y, o.velocity_over_c.z};
  const double v2 = dot(o.velocity_over_c, o.velocity_over_c);
  eraAb(natural, v, norm(o.position - o.sun_centre), std::sqrt(1.0 - v2), proper);
  return equatorial_of(o.date_from_icrf * Vec3{proper[0], proper[1], proper[2]});
}

Place place_of(Body body, const Observer& o) {
  const Moving earth{o.earth_centre, o.earth_velocity}, sun{o.sun_centre, o.sun_velocity};
  Duration light_time = Duration::s(0.0);
  Vec3 target, line;
  for (int i = 0; i < 4; ++i) {
    target = barycentric(body, o, earth, sun, light_time);
    line = target - o.position;
    const Duration next = Duration::s(norm(line) * kSecondsPerAu);
    const bool settled = abs(next - light_time) < Duration::s(0.001);
    light_time = next;
    if (settled) break;
  }
  Place p;
  p.from_observer = line;
  p.from_sun = target - sun.before(light_time);
  p.light_time = light_time;
  p.distance = astronomical_units(norm(line));
  p.sun_distance = astronomical_units(norm(p.from_sun));
  p.astrometric = equatorial_of(line);
  p.apparent = apparent_of(line, p.from_sun, o);
  p.horizontal = horizontal_from_equatorial(p.apparent, o);
  p.hour_angle = wrap_signed(o.sidereal_time - p.apparent.ra);
  return p;
}

Angle separation(const Place& a, const Place& b) {
  return angle_between(direction(a.apparent.ra, a.apparent.dec), direction(b.apparent.ra, b.apparent.dec));
}

}  // namespace halfarc::sky
