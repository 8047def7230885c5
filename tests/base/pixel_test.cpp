#include "halfarc/base/pixel.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

TEST(Pixel, PointsAndOffsets) {
  const PixelPoint p{10.0, 20.0};
  const PixelOffset d{3.0, -4.0};
  EXPECT_EQ(p + d, (PixelPoint{13.0, 16.0}));
  EXPECT_EQ(p - d, (PixelPoint{7.0, 24.0}));
  EXPECT_EQ((p + d) - p, d);
  EXPECT_DOUBLE_EQ(d.length(), 5.0);
  EXPECT_EQ(d + -d, PixelOffset{});
  EXPECT_EQ(d - d, PixelOffset{});
  EXPECT_EQ(d * 2.0, (PixelOffset{6.0, -8.0}));
}

TEST(Pixel, CentreOfSamples) {
  EXPECT_DOUBLE_EQ(centre_of(1), 0.0);
  EXPECT_DOUBLE_EQ(centre_of(4), 1.5);
  EXPECT_DOUBLE_EQ(centre_of(5), 2.0);
}

TEST(ImageDirection, RunsClockwiseFromUp) {
  const PixelOffset right = step_towards(Angle::deg(90.0));
  EXPECT_NEAR(right.x, 1.0, 1e-15);
  EXPECT_NEAR(right.y, 0.0, 1e-15);
  EXPECT_NEAR(step_towards(Angle()).y, -1.0, 1e-15);  // y runs down
  EXPECT_NEAR(direction_of({0.0, 2.0}).deg(), 180.0, 1e-12);
  EXPECT_NEAR(direction_of({-1.0, 0.0}).deg(), 270.0, 1e-12);
  EXPECT_EQ(direction_of({}), Angle());
  for (double deg = 5.0; deg < 360.0; deg += 10.0) {
    EXPECT_NEAR(direction_of(step_towards(Angle::deg(deg)) * 3.0).deg(), deg, 1e-12);
  }
}

// 3.45 um pixels at 4060 mm focal length: 206 264.806 arcsec x 3.45e-3 / 4060 = 0.17527 arcsec (small angles).
TEST(PlateScale, OfTheScenario) {
  const auto scale = PlateScale::per_pixel(Angle::rad(3.45e-3 / 4060.0));
  EXPECT_NEAR(scale.arcsec_per_px(), 0.17527, 1e-5);
  EXPECT_NEAR(scale.angle(100.0).arcsec(), 17.527, 1e-3);
  EXPECT_NEAR(scale.pixels(Angle::arcsec(17.527)), 100.0, 0.01);
}

TEST(PlateScale, CarriesOffsetsToTheSkyAlongTheImageAxes) {
  const SkyOffset s = PlateScale::arcsec_per_px(0.2).sky({5.0, -10.0});
  EXPECT_DOUBLE_EQ(s.x.arcsec(), 1.0);
  EXPECT_DOUBLE_EQ(s.y.arcsec(), -2.0);
}

}  // namespace
}  // namespace halfarc
