#include "halfarc/simulate/scene.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstring>
#include <numbers>

#include "halfarc/simulate/surface.h"

namespace halfarc {
namespace {

using std::numbers::pi;

BodySpec plain_ball() {
  BodySpec body;
  body.kind = BodyKind::ruddy_disc;
  body.equatorial_diameter = Angle::arcsec(40.0);
  body.flattening = 0.0;
  return body;
}

constexpr PlateScale kScale = PlateScale::arcsec_per_px(0.25);

double lit_area_px(const BodySpec& body, int oversample) {
  const Scene scene = draw_scene(body, {200, 200, kScale}, oversample);
  double lit = 0.0;
  for (const float v : scene.cells[0].samples()) lit += v > 0.0F ? 1.0 : 0.0;
  return lit / (oversample * oversample);
}

// The lit share of a ball's disc is (1 + cos i) / 2 (for instance Meeus, Astronomical Algorithms, ch. 41).
TEST(Scene, LitShareOfTheDiscFollowsThePhaseAngle) {
  const double full = pi * 80.0 * 80.0;
  for (const double phase : {0.0, 20.0, 47.0, 90.0, 140.0}) {
    BodySpec body = plain_ball();
    body.phase_angle = Angle::deg(phase);
    body.sun_angle = Angle::deg(250.0);
    EXPECT_NEAR(lit_area_px(body, 4) / full, (1.0 + std::cos(phase * pi / 180.0)) / 2.0, 0.002) << phase;
  }
}

TEST(Scene, TheSunlitLimbLooksTowardsTheSun) {
  BodySpec body = plain_ball();
  body.phase_angle = Angle::deg(80.0);
  for (const double towards : {0.0, 90.0, 200.0}) {
    body.sun_angle = Angle::deg(towards);
    const Scene scene = draw_scene(body, {201, 201, kScale}, 1);
    const auto at = [&](double angle_deg) {
      const double a = angle_deg * pi / 180.0;
      return scene.cells[1](static_cast<int>(std::lround(100.0 + 70.0 * std::sin(a))),
                            static_cast<int>(std::lround(100.0 - 70.0 * std::cos(a))));
    };
    EXPECT_GT(at(towards), 0.1F) << towards;
    EXPECT_EQ(at(towards + 180.0), 0.0F) << towards;
  }
}

TEST(Scene, ABrightSpotFallsWhereItsPlaceSays) {
  for (const int size : {64, 65}) {
    BodySpec star;
    star.kind = BodyKind::star;
    star.centre = {Angle::arcsec(0.25 * 3.0), Angle::arcsec(-0.25 * 5.25)};
    const Scene scene = draw_scene(star, {size, size, kScale}, 4);
    ASSERT_EQ(scene.points.size(), 1U);
    EXPECT_DOUBLE_EQ(scene.points[0].place.x, centre_of(size) + 3.0);
    const auto means = pixel_means(scene);
    double sum = 0.0, x_sum = 0.0, y_sum = 0.0;
    for (int y = 0; y < size; ++y) {
      for (int x = 0; x < size; ++x) {
        const double v = static_cast<double>(means[1](x, y));
        sum += v;
        x_sum += v * x;
        y_sum += v * y;
      }
    }
    EXPECT_NEAR(sum, 1.0, 1e-6);
    EXPECT_NEAR(x_sum, centre_of(size) + 3.0, 1e-5);
    EXPECT_NEAR(y_sum, centre_of(size) - 5.25, 1e-5);
  }
}

TEST(Scene, DiscIsCentredInOddAndEvenFrames) {
  for (const int size : {180, 181}) {
    const auto means = pixel_means(draw_scene(plain_ball(), {size, size, kScale}, 4));
    double area = 0.0, x_sum = 0.0, y_sum = 0.0;
    for (int y = 0; y < size; ++y) {
      for (int x = 0; x < size; ++x) {
        const double lit = means[0](x, y) > 0.0F ? 1.0 : 0.0;
        area += lit;
        x_sum += lit * x;
        y_sum += lit * y;
      }
    }
    EXPECT_NEAR(x_sum / area, centre_of(size), 0.01) << size;
    EXPECT_NEAR(y_sum / area, centre_of(size), 0.01) << size;
  }
}

BodySpec ringed() {
  BodySpec body;
  body.kind = BodyKind::ringed_giant;
  body.equatorial_diameter = Angle::arcsec(20.0);
  body.flattening = 0.1;
  body.sub_observer_latitude = Angle::deg(22.0);
  return body;
}

TEST(RingedGiant, RingHidesGlobeInFrontAndGlobeHidesRingBehind) {
  const auto means = pixel_means(draw_scene(ringed(), {241, 121, kScale}, 4));
  const auto at = [&](double x_radii, double y_radii) {
    return means[1](static_cast<int>(std::lround(120.0 + 40.0 * x_radii)),
                    static_cast<int>(std::lround(60.0 + 40.0 * y_radii)));
  };
  const double b = std::sin(22.0 * pi / 180.0);
  // Ansae: bright ring, dark gap, bright outer ring, dark sky.
  EXPECT_GT(at(1.8, 0.0), 0.5F);
  EXPECT_LT(at(1.99, 0.0), 0.35F * at(1.8, 0.0));
  EXPECT_GT(at(2.13, 0.0), 0.3F);
  EXPECT_EQ(at(2.4, 0.0), 0.0F);
  // North is tipped towards us: the near half of the ring passes below the centre, before the globe.
  EXPECT_NEAR(at(0.0, 1.8 * b), ring_at(1.8).reflectance[1], 0.12F);
  EXPECT_GT(at(0.0, -0.2), 0.4F);
}

TEST(RingedGiant, ShadowsFallAwayFromTheSun) {
  BodySpec body = ringed();
  body.phase_angle = Angle::deg(6.0);
  body.sun_angle = Angle::deg(270.0);  // Sun to the left: the globe's shadow lies on the ring behind, to the right
  const auto means = pixel_means(draw_scene(body, {241, 121, kScale}, 4));
  const double b = std::sin(22.0 * pi / 180.0);
  int dark_left = 0;
  int dark_right = 0;
  for (int deg = 30; deg <= 85; ++deg) {  // along the far half of the ring, beside the globe
    const double a = deg * pi / 180.0;
    const double x = 1.8 * std::cos(a);
    const double y = -1.8 * b * std::sin(a);
    if (x * x + y * y / 0.83 < 1.05) continue;
    const int row = static_cast<int>(std::lround(60.0 + 40.0 * y));
    dark_right += means[1](static_cast<int>(std::lround(120.0 + 40.0 * x)), row) < 0.1F ? 1 : 0;
    dark_left += means[1](static_cast<int>(std::lround(120.0 - 40.0 * x)), row) < 0.1F ? 1 : 0;
  }
  EXPECT_GT(dark_right, 0);
  EXPECT_EQ(dark_left, 0);
}

TEST(RingedGiant, RingShadowDarkensTheGlobe) {
  // Sun higher than we are: the ring's shadow falls on the southern half, below the near half of the ring.
  BodySpec body = ringed();
  body.sub_observer_latitude = Angle::deg(5.0);
  body.phase_angle = Angle::deg(12.0);
  body.sun_angle = Angle::deg(0.0);
  const auto with_sun_above = pixel_means(draw_scene(body, {241, 121, kScale}, 4));
  body.phase_angle = Angle::deg(0.0);
  const auto with_sun_behind_us = pixel_means(draw_scene(body, {241, 121, kScale}, 4));
  double darkest = 1.0;
  for (int y = 66; y < 90; ++y) {
    const double share =
        static_cast<double>(with_sun_above[1](120, y)) / static_cast<double>(with_sun_behind_us[1](120, y));
    darkest = std::min(darkest, share);
  }
  EXPECT_LT(darkest, 0.3);
}

BodySpec giant_with_moon(double towards_us) {
  BodySpec body;
  body.equatorial_diameter = Angle::arcsec(40.0);
  body.flattening = 0.0;
  body.moons.push_back({{Angle::arcsec(8.0), Angle::arcsec(0.0)}, {}, towards_us, Angle::arcsec(3.0), {2.0, 2.0, 2.0}});
  return body;
}

TEST(Moons, PassBeforeAndBehindTheGlobe) {
  const auto at_moon = [](double towards_us) {
    return draw_scene(giant_with_moon(towards_us), {200, 200, kScale}, 1).cells[1](132, 100);
  };
  EXPECT_GT(at_moon(6.0), 1.5F);
  EXPECT_LT(at_moon(-6.0), 1.0F);
}

// A moon z radii before us throws its shadow z tan(phase) radii away from the Sun, less what the globe stands nearer.
TEST(Moons, ThrowTheirShadowOnTheGlobe) {
  BodySpec body = giant_with_moon(5.0);
  body.phase_angle = Angle::deg(6.0);
  body.sun_angle = Angle::deg(90.0);  // to the right: the shadow falls to the left
  const Scene with = draw_scene(body, {200, 200, kScale}, 1);
  body.moons.clear();
  const Scene without = draw_scene(body, {200, 200, kScale}, 1);
  double lost = 0.0;
  double x_sum = 0.0;
  for (int x = 20; x < 120; ++x) {
    const double l = static_cast<double>(without.cells[1](x, 100) - with.cells[1](x, 100));
    if (l <= 0.0) continue;
    lost += l;
    x_sum += l * x;
  }
  ASSERT_GT(lost, 1.0);
  const double x_radii = (x_sum / lost - 99.5) / 80.0;
  const double z = std::sqrt(1.0 - x_radii * x_radii);
  EXPECT_NEAR(x_radii, 0.4 - (5.0 - z) * std::tan(6.0 * pi / 180.0), 0.02);
}

TEST(Moons, GoDarkInTheShadowOfTheGlobe) {
  BodySpec body = giant_with_moon(-6.0);
  body.moons[0].place = {Angle::arcsec(-24.0), Angle()};
  body.phase_angle = Angle::deg(8.0);
  body.sun_angle = Angle::deg(90.0);
  const auto light = [&] { return draw_scene(body, {300, 200, kScale}, 1).cells[1](150 - 96, 100); };
  EXPECT_EQ(light(), 0.0F);
  body.sun_angle = Angle::deg(270.0);
  EXPECT_GT(light(), 1.0F);
}

TEST(Scene, SameForAnyNumberOfThreads) {
  const Scene one = draw_scene({}, {300, 300, kScale}, 2, Threads{1});
  for (const int threads : {2, 7}) {
    const Scene many = draw_scene({}, {300, 300, kScale}, 2, Threads{threads});
    for (std::size_t c = 0; c < 3; ++c) {
      EXPECT_EQ(0, std::memcmp(one.cells[c].data(), many.cells[c].data(), one.cells[c].count() * sizeof(float)));
    }
  }
}

}  // namespace
}  // namespace halfarc
