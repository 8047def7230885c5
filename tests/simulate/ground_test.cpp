#include "halfarc/simulate/ground.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstring>

namespace halfarc {
namespace {

constexpr PlateScale kScale = PlateScale::arcsec_per_px(2.0);

BodySpec pane(double phase_deg) {
  BodySpec body;
  body.kind = BodyKind::cratered;
  body.equatorial_diameter = Angle::arcsec(1865.0);
  body.flattening = 0.0;
  body.phase_angle = Angle::deg(phase_deg);
  body.sun_angle = Angle::deg(270.0);
  body.sun_radius = Angle::arcmin(16.0);
  return body;
}

Scene drawn(const BodySpec& body, int threads = 2) { return draw_scene(body, {96, 96, kScale}, 1, Threads{threads}); }

double dark_share(const Scene& scene) {
  double dark = 0.0;
  for (const float v : scene.cells[1].samples()) dark += v <= 0.0F ? 1.0 : 0.0;
  return dark / static_cast<double>(scene.cells[1].count());
}

TEST(Ground, ShadowsGrowTowardsTheTerminator) {
  // In the middle of the disc the Sun stands as high as the phase angle leaves of 90 degrees.
  const double high = dark_share(drawn(pane(20.0)));
  const double low = dark_share(drawn(pane(80.0)));
  const double lowest = dark_share(drawn(pane(87.0)));
  SCOPED_TRACE(testing::Message() << high << " " << low << " " << lowest);
  EXPECT_LT(high, 0.005);
  EXPECT_GT(low, high + 0.004);
  EXPECT_GT(lowest, low + 0.1);
  EXPECT_EQ(dark_share(drawn(pane(120.0))), 1.0);
}

// Shadows lie on the side away from the Sun: with the Sun on the left, darkness has its sharp end (bright to dark)
// where one walks right over a summit. Turned by 180 degrees the picture of the shadows must turn too.
TEST(Ground, ShadowsFallAwayFromTheSun) {
  BodySpec left = pane(80.0);
  BodySpec right = pane(80.0);
  right.sun_angle = Angle::deg(90.0);
  const Scene a = drawn(left);
  const Scene b = drawn(right);
  double both = 0.0;
  double a_dark = 0.0;
  for (std::size_t i = 0; i < a.cells[1].count(); ++i) {
    const bool da = a.cells[1].samples()[i] <= 0.0F;
    const bool db = b.cells[1].samples()[i] <= 0.0F;
    a_dark += da ? 1.0 : 0.0;
    both += da && db ? 1.0 : 0.0;
  }
  EXPECT_LT(both, 0.6 * a_dark);  // no hollow is dark from both sides at this height, but for the deepest
}

TEST(Ground, TheSameForAnyNumberOfThreads) {
  const Scene one = drawn(pane(75.0), 1);
  for (const int threads : {2, 5}) {
    const Scene many = drawn(pane(75.0), threads);
    EXPECT_EQ(0, std::memcmp(one.cells[1].data(), many.cells[1].data(), one.cells[1].count() * sizeof(float)));
  }
}

TEST(Ground, SkyBesideTheGlobeIsBlack) {
  BodySpec body = pane(20.0);
  body.centre = {Angle::arcsec(-1100.0), Angle()};
  EXPECT_EQ(dark_share(drawn(body)), 1.0);
}

TEST(Ground, PlainsLieLowAndLevel) {
  double plains = 0.0;
  double highlands = 0.0;
  int plain_count = 0;
  int highland_count = 0;
  for (int i = 0; i < 4000; ++i) {
    const double z = 1.0 - 2.0 * (i + 0.5) / 4000.0;
    const double r = std::sqrt(1.0 - z * z);
    const Terrain t = terrain_at({r * std::cos(2.4 * i), r * std::sin(2.4 * i), z}, 100.0, 3);
    if (t.plain > 0.99) {
      plains += t.height;
      ++plain_count;
    } else if (t.plain < 0.01) {
      highlands += t.height;
      ++highland_count;
    }
  }
  ASSERT_GT(plain_count, 200);
  ASSERT_GT(highland_count, 200);
  EXPECT_LT(plains / plain_count, highlands / highland_count - 3e-4);
}

}  // namespace
}  // namespace halfarc
