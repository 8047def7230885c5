#include "halfarc/app/place_disc.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

// An ellipse of even light with a soft edge, its shorter axis `axis` clockwise from up; `dark` of it on one side.
Plane<float> ellipse(PixelPoint centre, double longer, double shorter, Angle axis, double dark = 0.0) {
  Plane<float> p(160, 144);
  const PixelOffset up = step_towards(axis);
  for (int y = 0; y < p.height(); ++y) {
    for (int x = 0; x < p.width(); ++x) {
      const PixelOffset d = PixelPoint{double(x), double(y)} - centre;
      const double along = (d.x * up.x + d.y * up.y) / shorter;
      const double across = (d.y * up.x - d.x * up.y) / longer;
      const double r = std::hypot(along, across);
      const double edge = 0.5 * std::erfc((r - 1.0) * shorter / (std::sqrt(2.0) * 1.5));
      const double lit =
          dark == 0.0 ? 1.0 : 0.5 * std::erfc((across - 1.0 + 2.0 * dark) * longer / (std::sqrt(2.0) * 1.5));
      const double dome = 1.0 - 0.5 * (1.0 - std::sqrt(std::max(0.0, 1.0 - r * r)));
      p(x, y) = static_cast<float>(10.0 + 100.0 * edge * dome * lit);
    }
  }
  return p;
}

TEST(PlaceDisc, FindsPlaceRadiusAndAxisOfAFlattenedDisc) {
  const auto disc = place_disc(ellipse({81.3, 70.6}, 40.0, 37.4, Angle::deg(25.0)), 44.0, false);
  ASSERT_TRUE(disc);
  EXPECT_TRUE(disc->fitted);
  EXPECT_NEAR(disc->centre.x, 81.3, 0.05);
  EXPECT_NEAR(disc->centre.y, 70.6, 0.05);
  EXPECT_NEAR(disc->equatorial_radius, 40.0, 0.3);
  ASSERT_TRUE(disc->axis);
  EXPECT_NEAR(disc->axis->value.deg(), 25.0, 1.0);
}

TEST(PlaceDisc, ARoundDiscHasNoAxis) {
  const auto disc = place_disc(ellipse({80.0, 70.0}, 40.0, 40.0, Angle()), 40.0, false);
  ASSERT_TRUE(disc);
  EXPECT_FALSE(disc->axis);
}

// Open ring and globe together: longer than wide, and the radius is not that of the light.
TEST(PlaceDisc, ARingShowsTheAxisOfItsGlobe) {
  for (const double deg : {-60.0, -10.0, 35.0, 80.0}) {
    const auto disc = place_disc(ellipse({79.2, 71.9}, 60.0, 24.0, Angle::deg(deg)), 26.0, true);
    ASSERT_TRUE(disc);
    ASSERT_TRUE(disc->axis);
    EXPECT_NEAR(0.5 * wrap_signed(2.0 * (disc->axis->value - Angle::deg(deg))).deg(), 0.0, 0.5) << deg;
    EXPECT_EQ(disc->equatorial_radius, 26.0);
    EXPECT_NEAR(disc->centre.x, 79.2, 0.1);
    EXPECT_NEAR(disc->centre.y, 71.9, 0.1);
  }
}

// What cannot be fitted is placed alike on every picture: moved by a fraction of a pixel, so is its place.
TEST(PlaceDisc, ACrescentMovesAsItsPictureMoves) {
  const auto a = place_disc(ellipse({78.0, 70.0}, 40.0, 40.0, Angle(), 0.7), 40.0, false);
  const auto b = place_disc(ellipse({79.37, 69.18}, 40.0, 40.0, Angle(), 0.7), 40.0, false);
  ASSERT_TRUE(a && b);
  EXPECT_FALSE(a->fitted);
  EXPECT_NEAR(b->centre.x - a->centre.x, 1.37, 0.1);
  EXPECT_NEAR(b->centre.y - a->centre.y, -0.82, 0.1);
}

TEST(PlaceDisc, EmptySkyHasNone) {
  Plane<float> sky(64, 64);
  for (float& v : sky.samples()) v = 5.0F;
  EXPECT_FALSE(place_disc(sky, 20.0, false));
}

}  // namespace
}  // namespace halfarc
