#include "halfarc/simulate/scene_path.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

TEST(ScenePath, FieldTurnsClockwiseAboutAPoint) {
  BodySpec body;
  body.centre = {Angle::arcsec(10.0), Angle::arcsec(0.0)};
  Pointing pointing;
  pointing.field_rotation = AngularRate::deg_per_hour(90.0);
  pointing.turned_about = {Angle::arcsec(4.0), Angle::arcsec(1.0)};
  const BodySpec later = body_at(body, pointing, Duration::hours(1.0));
  // A quarter turn clockwise takes (6, -1) to (1, 6), y down.
  EXPECT_NEAR(later.centre.x.arcsec(), 5.0, 1e-9);
  EXPECT_NEAR(later.centre.y.arcsec(), 7.0, 1e-9);
  EXPECT_NEAR(later.pole_angle.deg(), 90.0, 1e-9);
  EXPECT_NEAR(later.sun_angle.deg(), 90.0, 1e-9);
}

TEST(ScenePath, SpinTurnsEastwardsAndMoonsMove) {
  BodySpec body;
  body.spin = AngularRate::deg_per_hour(36.0);
  body.moons.push_back({{Angle::arcsec(20.0), Angle()}, {Angle::arcsec(-12.0), Angle()}});
  const BodySpec later = body_at(body, {}, Duration::minutes(10.0));
  EXPECT_NEAR(later.central_meridian.deg(), -6.0, 1e-9);
  EXPECT_NEAR(later.moons[0].place.x.arcsec(), 18.0, 1e-9);
}

TEST(ScenePath, NothingMovesFurtherThanAStep) {
  BodySpec body;
  EXPECT_TRUE(std::isinf(scene_lasts(body, {}, PlateScale::arcsec_per_px(0.2), 400.0).s()));
  body.equatorial_diameter = Angle::arcsec(40.0);
  body.spin = AngularRate::deg_per_hour(36.0);
  // 100 px of radius at 0.01 degrees a second: 0.01745 px/s.
  EXPECT_NEAR(scene_lasts(body, {}, PlateScale::arcsec_per_px(0.2), 400.0).s(), kSceneStep / 0.0174533, 1e-3);
}

}  // namespace
}  // namespace halfarc
