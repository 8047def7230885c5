#include "halfarc/app/body_of_date.h"

#include <gtest/gtest.h>

#include "halfarc/app/home.h"

namespace halfarc {
namespace {

Whereabouts where(sky::Body body, const char* utc) {
  WhereRequest request;
  request.body = body;
  request.site = example_site().site;
  request.utc = Utc::parse(utc).value();
  return where_body(request).value();
}

TEST(BodyOfDate, NorthIsTheParallacticAngleFromTheZenith) {
  // East of the meridian (negative angle) the pole lies to the left of the zenith.
  EXPECT_NEAR(on_image(Angle::deg(0.0), Angle::deg(-30.0), Angle::deg(0.0)).deg(), 330.0, 1e-9);
  // East is 90 degrees to the left of north, for the image is not mirrored.
  EXPECT_NEAR(on_image(Angle::deg(90.0), Angle::deg(0.0), Angle::deg(40.0)).deg(), 310.0, 1e-9);
}

TEST(BodyOfDate, TheGiantAsItStandsInTheSky) {
  const Whereabouts jupiter = where(sky::Body::jupiter, "2027-02-14T21:30");
  const BodySpec body = body_of_date(jupiter, Angle::deg(25.0), 3).value();
  EXPECT_EQ(body.kind, BodyKind::banded_giant);
  EXPECT_EQ(body.equatorial_diameter, jupiter.disc.equatorial_diameter);
  EXPECT_NEAR(body.flattening, 0.0649, 0.0005);                 // [Archinal2018] table 4
  EXPECT_NEAR(body.spin.deg_per_hour(), 877.900 / 24.0, 0.01);  // system I, 877.900 deg a day
  ASSERT_EQ(body.moons.size(), 4U);
  // The four moons keep near the plane of the equator: along the line square to the pole.
  for (const Moon& moon : body.moons) {
    const PixelOffset north = step_towards(body.pole_angle);
    const double off = moon.place.x.arcsec() * north.x + moon.place.y.arcsec() * north.y;
    EXPECT_LT(std::abs(off), 0.5 * body.equatorial_diameter.arcsec());
  }
}

TEST(BodyOfDate, LongitudesCountEastwards) {
  const Whereabouts now = where(sky::Body::jupiter, "2027-02-14T21:30");
  const Whereabouts later = where(sky::Body::jupiter, "2027-02-14T22:30");
  const BodySpec a = body_of_date(now, Angle(), 3).value();
  const BodySpec b = body_of_date(later, Angle(), 3).value();
  // As the globe turns east, the east longitude that faces us falls, by its spin (but for the light's way and our own).
  EXPECT_NEAR(wrap_positive(a.central_meridian - b.central_meridian).deg(), a.spin.deg_per_hour(), 0.05);
}

TEST(BodyOfDate, TheMoonIsLitFromTheWestAtFirstQuarter) {
  const Whereabouts moon = where(sky::Body::moon, "2027-02-14T19:00");
  const BodySpec body = body_of_date(moon, Angle(), 3).value();
  EXPECT_EQ(body.kind, BodyKind::cratered);
  EXPECT_NEAR(body.phase_angle.deg(), 84.2, 0.5);
  // In the south an hour after the meridian, west is to the right.
  EXPECT_GT(step_towards(body.sun_angle).x, 0.8);
}

TEST(BodyOfDate, MeanLightIsThatOfTheLitPart) {
  const BodySpec mars = body_of_date(where(sky::Body::mars, "2027-02-14T21:30"), Angle(), 3).value();
  const auto light = mean_light(mars);
  EXPECT_GT(light[0], light[2]);  // ruddy
  for (const double l : light) {
    EXPECT_GT(l, 0.01);
    EXPECT_LT(l, 1.0);
  }
}

}  // namespace
}  // namespace halfarc
