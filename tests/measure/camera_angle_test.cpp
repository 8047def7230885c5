#include "halfarc/measure/camera_angle.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

// On the meridian south of the zenith with the zenith up, north is up and east to the left; mirrored, to the right.
TEST(CameraAngle, EastLiesLeftOfTheZenithInTheSouth) {
  EXPECT_NEAR(on_image(Angle::deg(90.0), Angle(), Angle(), false).deg(), 270.0, 1e-9);
  EXPECT_NEAR(on_image(Angle::deg(90.0), Angle(), Angle(), true).deg(), 90.0, 1e-9);
}

// West of the meridian (parallactic angle above 0) north lies clockwise of the zenith [sky/field.h].
TEST(CameraAngle, NorthLiesClockwiseOfTheZenithInTheWest) {
  EXPECT_NEAR(on_image(Angle(), Angle(), Angle::deg(30.0), false).deg(), 30.0, 1e-9);
}

TEST(CameraAngle, ThereAndBack) {
  for (const bool mirrored : {false, true}) {
    const Angle seen = on_image(Angle::deg(200.0), Angle::deg(77.0), Angle::deg(-25.0), mirrored);
    EXPECT_NEAR(zenith_from(seen, Angle::deg(200.0), Angle::deg(-25.0), mirrored).deg(), 77.0, 1e-9);
  }
}

// With the zenith up the object goes down when the telescope goes up, and left when it goes right.
TEST(CameraAngle, TheObjectGoesAgainstTheKey) {
  EXPECT_NEAR(zenith_from_key(Angle::deg(180.0), Key::up, false).deg(), 0.0, 1e-9);
  EXPECT_NEAR(zenith_from_key(Angle::deg(0.0), Key::down, false).deg(), 0.0, 1e-9);
  EXPECT_NEAR(zenith_from_key(Angle::deg(270.0), Key::right, false).deg(), 0.0, 1e-9);
  EXPECT_NEAR(zenith_from_key(Angle::deg(90.0), Key::left, false).deg(), 0.0, 1e-9);
  EXPECT_NEAR(zenith_from_key(Angle::deg(90.0), Key::right, true).deg(), 0.0, 1e-9);
  EXPECT_FALSE(mirrored_from_keys(Angle::deg(180.0), Angle::deg(270.0)));
  EXPECT_TRUE(mirrored_from_keys(Angle::deg(180.0), Angle::deg(90.0)));
}

}  // namespace
}  // namespace halfarc
