#include "halfarc/simulate/body.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace halfarc {
namespace {

using std::numbers::pi;

// Outline of an ellipsoid seen at latitude B: equatorial radius across, sqrt((1-f)^2 cos^2 B + sin^2 B) along the pole.
TEST(Globe, OutlineOfATippedAndTurnedEllipsoid) {
  BodySpec body;
  body.flattening = 0.1;
  body.pole_angle = Angle::deg(30.0);
  body.sub_observer_latitude = Angle::deg(25.0);
  const Globe globe(body);
  const double b = 25.0 * pi / 180.0;
  const double along = std::sqrt(0.81 * std::cos(b) * std::cos(b) + std::sin(b) * std::sin(b));
  const double px = std::sin(30.0 * pi / 180.0);   // direction of the pole on the image
  const double py = -std::cos(30.0 * pi / 180.0);  // y down
  EXPECT_TRUE(globe.at(px * (along - 1e-6), py * (along - 1e-6)));
  EXPECT_FALSE(globe.at(px * (along + 1e-6), py * (along + 1e-6)));
  EXPECT_TRUE(globe.at(-py * (1.0 - 1e-6), px * (1.0 - 1e-6)));
  EXPECT_FALSE(globe.at(-py * (1.0 + 1e-6), px * (1.0 + 1e-6)));
}

TEST(Globe, LatitudesAndLongitudes) {
  BodySpec body;
  body.flattening = 0.0;
  body.central_meridian = Angle::deg(77.0);
  body.sub_observer_latitude = Angle::deg(20.0);
  const Globe globe(body);
  const auto middle = globe.at(0.0, 0.0);
  ASSERT_TRUE(middle);
  EXPECT_NEAR(middle->latitude.deg(), 20.0, 1e-9);
  EXPECT_NEAR(middle->longitude.deg(), 77.0, 1e-9);
  EXPECT_NEAR(middle->to_us, 1.0, 1e-12);
  // With the pole up, longitude grows to the right (eastwards), latitude upwards.
  EXPECT_GT(globe.at(0.3, 0.0)->longitude.deg(), 77.0);
  EXPECT_GT(globe.at(0.0, -0.3)->latitude.deg(), 20.0);
  EXPECT_NEAR(globe.at(0.0, -std::sin(50.0 * pi / 180.0))->latitude.deg(), 70.0, 1e-6);
}

TEST(Globe, PlanetographicLatitudeOfAFlattenedBody) {
  BodySpec body;
  body.flattening = 0.2;
  const Globe globe(body);
  // On the central meridian, at height z: tan(planetographic) = tan(planetocentric) / (1 - f)^2.
  const auto p = globe.at(0.0, -0.4);
  ASSERT_TRUE(p);
  const double centric = std::atan2(0.4, p->place.z);
  EXPECT_NEAR(std::tan(p->latitude.rad()), std::tan(centric) / 0.64, 1e-9);
}

// Straight over a pole every meridian faces us alike; the one called central runs away from the pole's direction on the
// image, as it does a hair beside the pole.
TEST(Globe, SeenFromOverAPole) {
  for (const double side : {1.0, -1.0}) {
    BodySpec body;
    body.flattening = 0.0;
    body.pole_angle = Angle::deg(25.0);
    body.central_meridian = Angle::deg(100.0);
    body.sub_observer_latitude = Angle::deg(side * 90.0);
    const auto over = Globe(body).at(0.3, 0.2);
    body.sub_observer_latitude = Angle::deg(side * 89.9999);
    const auto beside = Globe(body).at(0.3, 0.2);
    ASSERT_TRUE(over && beside);
    EXPECT_NEAR(wrap_signed(over->longitude - beside->longitude).deg(), 0.0, 0.01) << side;
  }
}

// The globe's own shadow: a place behind it on the line from the Sun is dark, one before it is not.
TEST(Globe, HidesTheSunFromWhatLiesBehindIt) {
  BodySpec body;
  body.flattening = 0.1;
  const Globe globe(body);  // Sun behind the observer
  EXPECT_TRUE(globe.hides_sun_from({0.2, 0.1, -3.0}));
  EXPECT_FALSE(globe.hides_sun_from({0.2, 0.1, 3.0}));
  EXPECT_FALSE(globe.hides_sun_from({1.2, 0.1, -3.0}));
}

TEST(Globe, EquatorPlane) {
  BodySpec body;
  body.sub_observer_latitude = Angle::deg(30.0);
  const Globe globe(body);
  const auto below = globe.equator_plane_at(0.0, 0.5);  // below the centre: the near half
  ASSERT_TRUE(below);
  EXPECT_NEAR(std::sqrt(dot(*below, *below)), 1.0, 1e-12);  // 0.5 / sin 30 deg
  EXPECT_GT(below->z, 0.0);
  body.sub_observer_latitude = Angle::deg(0.0);
  EXPECT_FALSE(Globe(body).equator_plane_at(0.0, 0.5));
}

}  // namespace
}  // namespace halfarc
