#include "halfarc/sky/disc.h"

#include <gtest/gtest.h>

#include "halfarc/sky/figure.h"
#include "halfarc/sky/magnitude.h"
#include "halfarc/sky/moon_face.h"
#include "halfarc/sky/saturn_ring.h"

namespace halfarc::sky {
namespace {

const Site kHarbour{Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};

TEST(Rotation, TheBodyFrameIsARotationAboutTheNorthPole) {
  const Tt t = Tt::julian_date(2461000.25);
  for (const Body body : kAllBodies) {
    for (const LongitudeSystem system : systems_of(body)) {
      const Rotation3 r = body_from_icrf(body, system, t);
      EXPECT_NEAR(dot(r.row_x, r.row_y), 0.0, 1e-14);
      EXPECT_NEAR(norm(cross(r.row_x, r.row_y) - r.row_z), 0.0, 1e-14);
      const Equatorial pole = north_pole(body, t);
      EXPECT_NEAR(norm(r.row_z - direction(pole.ra, pole.dec)), 0.0, 1e-14);
      // In one second the prime meridian moves by the spin rate.
      const Rotation3 later = body_from_icrf(body, system, t + Duration::hours(1));
      const double turned = std::atan2(dot(later.row_x, r.row_y), dot(later.row_x, r.row_x));
      EXPECT_NEAR(turned, (spin_rate(body, system) * Duration::hours(1)).rad(), 3e-5) << name_of(body);
    }
  }
}

TEST(Rotation, ABodyHasOnlyItsOwnClocks) {
  const Tt t;
  EXPECT_TRUE(prime_meridian(Body::jupiter, LongitudeSystem::two, t).has_value());
  EXPECT_FALSE(prime_meridian(Body::mars, LongitudeSystem::two, t).has_value());
  EXPECT_FALSE(prime_meridian(Body::neptune, LongitudeSystem::three, t).has_value());
}

TEST(Disc, CentralMeridiansOfPlanetsGrowWithTime) {
  const Utc start = *Utc::parse("2026-11-25T21:00:00Z");
  for (const Body body :
       {Body::mercury, Body::venus, Body::mars, Body::jupiter, Body::saturn, Body::uranus, Body::neptune}) {
    const auto meridian = [&](Utc at) {
      const Observer o = observe_from(kHarbour, at);
      return *disc_of(body, place_of(body, o), o).sub_observer.in(systems_of(body).front());
    };
    const Angle moved = wrap_signed(meridian(start + Duration::hours(1)) - meridian(start));
    EXPECT_GT(moved.deg(), 0.0) << name_of(body);
    EXPECT_NEAR(moved.deg(), std::abs(spin_rate(body, systems_of(body).front()).deg_per_hour()), 0.08) << name_of(body);
  }
}

TEST(Disc, FlatteningIsSeenInFullOnlyFromTheEquator) {
  EXPECT_NEAR(apparent_polar_ratio(0.9, Angle::deg(0.0)), 0.9, 1e-12);
  EXPECT_NEAR(apparent_polar_ratio(0.9, Angle::deg(90.0)), 1.0, 1e-12);
  // Against the outline of the ellipsoid found by hand: the largest height above the line of sight of any point of it.
  const double b = 0.4;
  double largest = 0.0;
  for (double u = 0.0; u < 6.283; u += 1e-4) {
    const double x = std::cos(u), z = 0.9 * std::sin(u);
    largest = std::max(largest, -x * std::sin(b) + z * std::cos(b));
  }
  EXPECT_NEAR(apparent_polar_ratio(0.9, Angle::rad(b)), largest, 1e-8);
}

TEST(Disc, BrightLimbPointsToTheSun) {
  const Observer o = observe_from(kHarbour, *Utc::parse("2026-03-20T19:00:00Z"));
  const Place venus = place_of(Body::venus, o), sun = place_of(Body::sun, o);
  const Disc d = disc_of(Body::venus, venus, o);
  // Along the great circle from the planet to the Sun.
  const Vec3 to_sun = direction(sun.apparent.ra, sun.apparent.dec),
             at = direction(venus.apparent.ra, venus.apparent.dec);
  Observer of_date = o;
  of_date.date_from_icrf = Rotation3{};
  EXPECT_NEAR(wrap_signed(position_angle(at, to_sun, of_date) - d.bright_limb).deg(), 0.0, 0.05);
  EXPECT_GT(d.illuminated_fraction, 0.9);  // beyond the Sun that spring
}

TEST(Disc, PlanetographicLatitudeIsTheSlopeOfTheEllipsoid) {
  const Observer o = observe_from(kHarbour, *Utc::parse("2032-06-01T00:00:00Z"));
  const Disc d = disc_of(Body::saturn, place_of(Body::saturn, o), o);
  const Figure f = figure_of(Body::saturn);
  const double squash = f.polar / f.equatorial;
  EXPECT_NEAR(tan(d.sub_observer.planetographic_latitude),
              tan(d.sub_observer.planetocentric_latitude) / (squash * squash), 1e-9);
  EXPECT_GT(std::abs(d.sub_observer.planetographic_latitude.deg()),
            std::abs(d.sub_observer.planetocentric_latitude.deg()));
}

TEST(SaturnRing, ShadowLiesWhereTheRayThroughTheEdgeComesDown) {
  const Figure globe = figure_of(Body::saturn);
  for (const double tilt : {3.0, -3.0, 12.0, 25.0, -20.0}) {
    const auto latitude = ring_shadow_latitude(kInnerEdgeOfB, Angle::deg(tilt));
    ASSERT_TRUE(latitude.has_value());
    EXPECT_LT(latitude->deg() * tilt, 0.0);  // on the other hemisphere
    // From the point of the ellipsoid at that latitude towards the Sun until the plane of the ring.
    const double c = cos(*latitude), s = sin(*latitude);
    const double r =
        1.0 / std::sqrt(c * c / std::pow(globe.equatorial.km(), 2) + s * s / std::pow(globe.polar.km(), 2));
    const double along = -r * s / sin(Angle::deg(tilt));
    EXPECT_NEAR(r * c + along * cos(Angle::deg(tilt)), kInnerEdgeOfB.km(), 1.0) << tilt;
  }
  EXPECT_FALSE(ring_shadow_latitude(kOuterEdgeOfA, Angle::deg(26.7)).has_value());
}

TEST(MoonFace, TheSunIsLevelOnTheTerminator) {
  const Observer o = observe_from(kHarbour, *Utc::parse("2026-11-25T21:00:00Z"));
  const MoonFace f = moon_face(disc_of(Body::moon, place_of(Body::moon, o), o));
  EXPECT_NEAR(sun_altitude_on_moon(f, -f.colongitude, Angle::deg(0.0)).deg(), 0.0, 1e-9);
  EXPECT_GT(sun_altitude_on_moon(f, -f.colongitude + Angle::deg(5.0), Angle::deg(0.0)).deg(),
            4.9);  // sunlit east of it
  EXPECT_NEAR(sun_altitude_on_moon(f, f.sub_solar_longitude, f.sub_solar_latitude).deg(), 90.0, 1e-5);
  EXPECT_LT(std::abs(f.libration_longitude.deg()), 9.0);
  EXPECT_LT(std::abs(f.libration_latitude.deg()), 8.0);
}

TEST(Magnitude, SaysNothingWhereTheFormulaeDoNotReach) {
  Illumination i;
  i.phase_angle = Angle::deg(40.0);
  EXPECT_FALSE(visual_magnitude(Body::saturn, i).has_value());
  i.year = 1985.0;
  EXPECT_FALSE(visual_magnitude(Body::neptune, i).has_value());
  EXPECT_TRUE(visual_magnitude(Body::mars, i).has_value());
}

}  // namespace
}  // namespace halfarc::sky
