// Meeus's examples of discs by the book's own constants: what separates halfarc from the printed digits is the pole,
// the zero of a longitude or a radius that has been measured anew since. With the example's constants put over the
// vectors of place_of, every digit comes out; disc_test.cpp tells what the constants in use give, and why they differ.
// Source of all: Meeus, Astronomical Algorithms, 2nd ed. (1998), chapters 42, 43 and 45; formulae as in the library
// commenthol/astronomia 4.2.0.
#include <erfa.h>
#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/sky/disc.h"
#include "halfarc/sky/place.h"

namespace halfarc::sky {
namespace {

Vec3 from_array(const double v[3]) { return {v[0], v[1], v[2]}; }

// What the examples work with: geometric vectors at light time on the mean equator of date, and the true equator.
struct Scene {
  Observer centre;
  Place place;
  Rotation3 mean_from_icrf;
  double jde = 0.0;
  Angle obliquity;  // mean, IAU 1980

  Scene(Body body, double when) : centre(observe_from_earth_centre(utc_from_tt(Tt::julian_date(when)))), jde(when) {
    place = place_of(body, centre);
    double m[3][3];
    eraPmat06(Tt::kJ2000JulianDate, centre.tt.days(), m);
    mean_from_icrf = {from_array(m[0]), from_array(m[1]), from_array(m[2])};
    obliquity = Angle::arcsec(84381.448 - 46.815 * centre.tt.centuries());
  }

  Vec3 seen() const { return unit(mean_from_icrf * place.from_observer); }
  Vec3 sunlit() const { return unit(mean_from_icrf * place.from_sun); }
  double au() const { return in_astronomical_units(place.distance); }
  Vec3 equatorial_from_ecliptic(Vec3 e) const {
    const double c = cos(obliquity), s = sin(obliquity);
    return {e.x, c * e.y - s * e.z, s * e.y + c * e.z};
  }
  Vec3 ecliptic_from_equatorial(Vec3 q) const {
    const double c = cos(obliquity), s = sin(obliquity);
    return {q.x, c * q.y + s * q.z, c * q.z - s * q.y};
  }

  // Position angle of a pole given on the mean equator, at the apparent place: nutation and aberration included.
  Angle pole_angle(Vec3 mean_pole) const {
    const Vec3 w = centre.date_from_icrf * (mean_from_icrf.transposed() * mean_pole);
    const Angle ra = place.apparent.ra, dec = place.apparent.dec;
    const Vec3 east = {-sin(ra), cos(ra), 0.0}, north = {-sin(dec) * cos(ra), -sin(dec) * sin(ra), cos(dec)};
    return wrap_positive(Angle::rad(std::atan2(dot(w, east), dot(w, north))));
  }
};

Angle latitude_above(Vec3 pole, Vec3 from_body) { return Angle::rad(std::asin(dot(pole, from_body))); }

// Meeus's zeta: from the node of the body's equator to the point of it that faces the Earth.
Angle zeta(Vec3 pole, Vec3 seen) {
  const Angle a0 = longitude_of(pole), d0 = latitude_of(pole), a = longitude_of(seen), d = latitude_of(seen);
  return Angle::rad(std::atan2(sin(d0) * cos(d) * cos(a0 - a) - sin(d) * cos(d0), cos(d) * sin(a0 - a)));
}

// The heliocentric direction that the example uses for the Sun's declination: shifted by the aberration of sunlight as
// the planet sees it, `per_au` degrees along the orbit. The part in latitude is below the printed digit.
Vec3 with_aberration_of_sunlight(const Scene& s, double per_au) {
  const Vec3 e = s.ecliptic_from_equatorial(s.sunlit());
  const Angle shift = Angle::deg(per_au / in_astronomical_units(s.place.sun_distance));
  return s.equatorial_from_ecliptic(direction(longitude_of(e) - shift, latitude_of(e)));
}

// Example 42.a, Mars, 1992 November 9, 0h UT, JDE 2448935.500683. Its pole and zero of longitude are those of 1950-79;
// the mean radius 4.68" at 1 au takes the place of today's equatorial one.
TEST(MeeusByItsConstants, Example42aMars) {
  const Scene s(Body::mars, 2448935.500683);
  const double t = s.centre.tt.centuries();
  const Vec3 pole =
      s.equatorial_from_ecliptic(direction(Angle::deg(352.9065 + 1.1733 * t), Angle::deg(63.2818 - 0.00394 * t)));
  EXPECT_NEAR(latitude_above(pole, -s.seen()).deg(), 12.44, 0.005);
  EXPECT_NEAR(latitude_above(pole, -with_aberration_of_sunlight(s, 0.00697)).deg(), -2.76, 0.005);
  const Angle w = Angle::deg(11.504 + 350.89200025 * (s.jde - s.place.light_time.days() - 2433282.5));
  EXPECT_NEAR(wrap_positive(w - zeta(pole, s.seen())).deg(), 111.55, 0.005);
  EXPECT_NEAR(s.pole_angle(pole).deg(), 347.64, 0.005);
  const Disc d = disc_of(Body::mars, s.place, s.centre);
  EXPECT_NEAR(wrap_positive(d.bright_limb + Angle::deg(180.0)).deg(), 279.91, 0.005);
  const double diameter = 9.36 / s.au();
  EXPECT_NEAR(diameter, 10.75, 0.005);
  EXPECT_NEAR(d.illuminated_fraction, 0.9012, 0.00005);
  EXPECT_NEAR((1.0 - d.illuminated_fraction) * diameter, 1.06, 0.005);
}

// Example 43.a, Jupiter, 1992 December 16, 0h UT, JDE 2448972.50068. Its zero of system II is 0.06 deg from the one
// that the report prints now; the omegas are those of the middle of the lit disc (correction for phase).
TEST(MeeusByItsConstants, Example43aJupiter) {
  const Scene s(Body::jupiter, 2448972.50068);
  const double d = s.jde - 2433282.5, t = d / 36525.0;
  const Vec3 pole = direction(Angle::deg(268.00 + 0.1061 * t), Angle::deg(64.50 - 0.0164 * t));
  EXPECT_NEAR(latitude_above(pole, -s.seen()).deg(), -2.48, 0.005);
  EXPECT_NEAR(latitude_above(pole, -s.sunlit()).deg(), -2.20, 0.005);
  const Disc disc = disc_of(Body::jupiter, s.place, s.centre);
  const auto omega = [&](double zero, double rate, double light) {
    const Angle meridian = Angle::deg(zero + rate * d - light * s.au()) - zeta(pole, s.seen());
    return phase_corrected(meridian, disc.phase_angle, true).deg();  // the Sun leads before opposition
  };
  EXPECT_NEAR(omega(17.710, 877.90003539, 5.07033), 268.06, 0.005);
  EXPECT_NEAR(omega(16.838, 870.27003539, 5.02626), 72.74, 0.005);
  EXPECT_NEAR(s.pole_angle(pole).deg(), 24.80, 0.005);
}

// Example 45.a, Saturn's ring, 1992 December 16, 0h UT: the plane of the ring as determined before the spacecraft.
TEST(MeeusByItsConstants, Example45aSaturnsRing) {
  const Scene s(Body::saturn, 2448972.50068);
  const double t = s.centre.tt.centuries();
  const Angle inclination = Angle::deg(28.075216 - 0.012998 * t + 0.000004 * t * t);
  const Angle node = Angle::deg(169.508470 + 1.394681 * t + 0.000412 * t * t);
  const Vec3 pole = s.equatorial_from_ecliptic(direction(node - Angle::deg(90.0), Angle::deg(90.0) - inclination));
  const Vec3 sunlit = with_aberration_of_sunlight(s, 0.01759);
  const Angle tilt = latitude_above(pole, -s.seen());
  EXPECT_NEAR(tilt.deg(), 16.442, 0.0005);
  EXPECT_NEAR(latitude_above(pole, -sunlit).deg(), 14.679, 0.0005);
  const auto in_plane = [&](Vec3 v) { return v - dot(v, pole) * pole; };
  EXPECT_NEAR(angle_between(in_plane(s.seen()), in_plane(sunlit)).deg(), 4.198, 0.0005);
  EXPECT_NEAR(s.pole_angle(pole).deg(), 6.741, 0.0005);
  EXPECT_NEAR(375.35 / s.au(), 35.87, 0.005);
  EXPECT_NEAR(375.35 / s.au() * sin(tilt), 10.15, 0.005);
}

}  // namespace
}  // namespace halfarc::sky
