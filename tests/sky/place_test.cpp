#include "halfarc/sky/place.h"

#include <gtest/gtest.h>

#include "halfarc/sky/refraction.h"

namespace halfarc::sky {
namespace {

const Site kHarbour{Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};
const Utc kNight = *Utc::parse("2026-11-25T21:00:00Z");

// Aberration is at most 20.5" for the Earth's 29.8 km/s and the observer's 0.25 km/s.
TEST(Place, ApparentDiffersFromAstrometricByPrecessionAndAberrationOnly) {
  const Observer o = observe_from(kHarbour, kNight);
  for (const Body b : {Body::venus, Body::jupiter, Body::neptune}) {
    const Place p = place_of(b, o);
    const Vec3 of_date = o.date_from_icrf * unit(p.from_observer);
    const Angle moved = angle_between(of_date, direction(p.apparent.ra, p.apparent.dec));
    EXPECT_LT(moved.arcsec(), 20.8) << name_of(b);
    EXPECT_GT(moved.arcsec(), 0.5) << name_of(b);
  }
}

TEST(Place, MoonFromTheGroundIsAParallaxAwayFromTheMoonOfTheEarthsCentre) {
  const Place ground = place_of(Body::moon, observe_from(kHarbour, kNight));
  const Place centre = place_of(Body::moon, observe_from_earth_centre(kNight));
  const Angle shift = angle_between(ground.from_observer, centre.from_observer);
  // sin(parallax) = radius of the Earth / distance * cos(altitude); the Earth's flattening makes 0.3 % of it.
  const double expected = 6378.14 / centre.distance.km() * cos(ground.horizontal.altitude);
  EXPECT_NEAR(shift.rad() / expected, 1.0, 0.02);
}

TEST(Place, LightTimeIsDistanceOverTheSpeedOfLight) {
  const Place p = place_of(Body::saturn, observe_from(kHarbour, kNight));
  EXPECT_NEAR(p.light_time.s(), p.distance.m() / 299792458.0, 1e-3);
  EXPECT_NEAR(norm(p.from_observer) * kMetresPerAu, p.distance.m(), 1.0);
}

TEST(Place, AzimuthAndAltitudeTurnBackIntoRightAscension) {
  const Observer o = observe_from(kHarbour, kNight);
  const Place p = place_of(Body::jupiter, o);
  const Equatorial back = equatorial_from_horizontal(p.horizontal, o);
  EXPECT_NEAR(wrap_signed(back.ra - p.apparent.ra).arcsec(), 0.0, 1e-6);
  EXPECT_NEAR((back.dec - p.apparent.dec).arcsec(), 0.0, 1e-6);
}

TEST(Place, TheSunAtEquinoxNoonStandsAtTheColatitude) {
  // 2026 March 20: the equinox is at 14:46 UT (from memory, almanac); the Sun is within 0.1 deg of the equator all day.
  const Site site{Angle::deg(40.0), Angle::deg(0.0), Length::m(0.0)};
  const Place p = place_of(Body::sun, observe_from(site, *Utc::parse("2026-03-20T12:07:30Z")));
  EXPECT_NEAR(p.horizontal.altitude.deg(), 50.0, 0.1);
  EXPECT_NEAR(p.horizontal.azimuth.deg(), 180.0, 0.3);
}

TEST(Refraction, JoinsWithoutAStepAndFallsWithAltitude) {
  const Weather w = usual_weather(Length::m(0.0));
  double last = 1e9;
  for (double h = -0.99; h < 89.9; h += 0.01) {
    const double r = refraction(Angle::deg(h), w).arcsec();
    ASSERT_LT(r, last) << h;
    ASSERT_GT(r, 0.0) << h;
    last = r;
  }
  EXPECT_NEAR(refraction(Angle::deg(9.9999), w).arcsec(), refraction(Angle::deg(10.0001), w).arcsec(), 0.02);
  EXPECT_EQ(refraction(Angle::deg(-30.0), w).arcsec(), 0.0);
}

TEST(Refraction, GrowsWithPressureAndShrinksWithWarmth) {
  const Angle h = Angle::deg(30.0);
  const Weather usual{Pressure::hpa(1010.0), Temperature::celsius(10.0), 0.5};
  Weather high = usual, warm = usual;
  high.pressure = Pressure::hpa(1030.0);
  warm.temperature = Temperature::celsius(25.0);
  EXPECT_NEAR(refraction(h, high) / refraction(h, usual), 1030.0 / 1010.0, 2e-4);
  EXPECT_NEAR(refraction(h, warm) / refraction(h, usual), 283.15 / 298.15, 2e-3);
}

}  // namespace
}  // namespace halfarc::sky
