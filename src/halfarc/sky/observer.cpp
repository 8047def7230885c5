#include "halfarc/sky/observer.h"

#include <erfa.h>

namespace halfarc::sky {
namespace {

constexpr double kAuPerDayInC = kMetresPerAu / 86400.0 / 299792458.0;

Vec3 vec(const double v[3]) { return {v[0], v[1], v[2]}; }

// The Earth, the Sun and the frames; the observer at the Earth's centre.
Observer at_earth_centre(Utc utc) {
  Observer o;
  o.utc = utc;
  o.tt = tt_from_utc(utc);
  double heliocentric[2][3], barycentric[2][3];
  eraEpv00(Tt::kJ2000JulianDate, o.tt.days(), heliocentric, barycentric);  // warns outside 1900 to 2100 only
  o.earth_centre = vec(barycentric[0]);
  o.sun_centre = vec(barycentric[0]) - vec(heliocentric[0]);
  o.position = o.earth_centre;
  o.earth_velocity = vec(barycentric[1]);
  o.sun_velocity = vec(barycentric[1]) - vec(heliocentric[1]);
  o.velocity_over_c = kAuPerDayInC * o.earth_velocity;
  double m[3][3];
  eraPnm06a(Tt::kJ2000JulianDate, o.tt.days(), m);
  o.date_from_icrf = {vec(m[0]), vec(m[1]), vec(m[2])};
  const double ut1 = ut1_from_utc(utc).days_since_j2000;
  o.sidereal_time = Angle::rad(eraGst06(Tt::kJ2000JulianDate, ut1, Tt::kJ2000JulianDate, o.tt.days(), m));
  return o;
}

}  // namespace

Observer observe_from(const Site& site, Utc utc) {
  Observer o = at_earth_centre(utc);
  o.site = site;
  // With apparent sidereal time, eraPvtob answers in the frame of the true equator and equinox of date.
  double pv[2][3];
  eraPvtob(site.longitude.rad(), site.latitude.rad(), site.height.m(), 0.0, 0.0, 0.0, o.sidereal_time.rad(), pv);
  const Rotation3 icrf_from_date = o.date_from_icrf.transposed();
  o.position = o.earth_centre + icrf_from_date * vec(pv[0]) / kMetresPerAu;
  o.velocity_over_c = o.velocity_over_c + icrf_from_date * vec(pv[1]) / 299792458.0;
  o.sidereal_time = wrap_positive(o.sidereal_time + site.longitude);
  return o;
}

Observer observe_from_earth_centre(Utc utc) { return at_earth_centre(utc); }

Horizontal horizontal_from_equatorial(Equatorial of_date, const Observer& observer) {
  double azimuth = 0.0, altitude = 0.0;
  eraHd2ae((observer.sidereal_time - of_date.ra).rad(), of_date.dec.rad(), observer.site.latitude.rad(), &azimuth,
           &altitude);
  return {Angle::rad(azimuth), Angle::rad(altitude)};
}

Equatorial equatorial_from_horizontal(Horizontal direction, const Observer& observer) {
  double hour_angle = 0.0, declination = 0.0;
  eraAe2hd(direction.azimuth.rad(), direction.altitude.rad(), observer.site.latitude.rad(), &hour_angle, &declination);
  return {wrap_positive(observer.sidereal_time - Angle::rad(hour_angle)), Angle::rad(declination)};
}

}  // namespace halfarc::sky
