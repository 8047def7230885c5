#include "halfarc/measure/known_disc.h"

#include <gtest/gtest.h>

#include <cmath>

#include "discs.h"

namespace halfarc {
namespace {

SamplePlane plane_of(const std::vector<double>& drawn, int width, int height, double noise, Rng rng) {
  SamplePlane p{Plane<float>(width, height), Plane<float>(width, height), {}, {}};
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    p.value.samples()[i] = static_cast<float>(6.0 + drawn[i] + noise * rng.normal());
    p.weight.samples()[i] = 1.0F;
  }
  return p;
}

// A disc drawn from its definition by code that knows nothing of the fit's (discs.h) comes back.
TEST(KnownDisc, GivesTheDrawnDiscBack) {
  test::DrawnDisc d;
  d.x = 47.3;
  d.y = 46.8;
  d.diameter = 60.0;
  d.flattening = 0.065;
  d.pole_angle_deg = 30.0;
  d.darkening = 0.6;
  d.blur = 2.0;
  const auto plane = plane_of(test::draw(d, 96, 96, 6), 96, 96, 0.5, Rng(1));
  const KnownDiscStart start{{48.0, 46.0}, 57.0, 2.3, 6.0, 110.0, false, {}};
  const auto fit = fit_known_disc(plane, {0.935, {}, {}, {}}, start);
  ASSERT_TRUE(fit);
  EXPECT_FALSE(fit->doubt) << *fit->doubt;
  EXPECT_NEAR(fit->x.value, d.x, 0.03);
  EXPECT_NEAR(fit->y.value, d.y, 0.03);
  EXPECT_NEAR(fit->diameter.value, 60.0, 0.005 * 60.0);
  EXPECT_LT(fit->diameter.sigma, 0.01 * 60.0);
  ASSERT_TRUE(fit->pole);
  EXPECT_NEAR(std::remainder(fit->pole->value.deg() - 30.0, 180.0), 0.0, 2.0);
  EXPECT_FALSE(fit->half_turn_known);  // nothing tells north from south
}

// A phase that would make a free fit's disc small and shift it, and which tells the pole's own end.
TEST(KnownDisc, APhaseIsNoBias) {
  const DiscShape shape{1.0, Angle::deg(40.0), Angle::deg(-80.0), {}};
  const DiscPlace place{{40.4, 39.7}, 22.0, Angle::deg(130.0), false};
  const auto sharp = draw_disc(shape, place, 80, 80);
  const auto blurred = DiscBlur(sharp).at(1.8, 1.7, nullptr);
  std::vector<double> light(80 * 80);
  for (std::size_t i = 0; i < light.size(); ++i)
    light[i] = 50.0 * static_cast<double>(blurred.flat.samples()[i] + blurred.domed.samples()[i]);
  const auto plane = plane_of(light, 80, 80, 1.0, Rng(2));
  const KnownDiscStart start{{38.5, 41.0}, 40.0, 2.3, 6.0, 90.0, false, {}};
  const auto fit = fit_known_disc(plane, shape, start);
  ASSERT_TRUE(fit);
  EXPECT_FALSE(fit->doubt) << *fit->doubt;
  EXPECT_NEAR(fit->x.value, 40.4, 0.1);
  EXPECT_NEAR(fit->y.value, 39.7, 0.1);
  EXPECT_NEAR(fit->diameter.value, 44.0, 0.01 * 44.0);
  ASSERT_TRUE(fit->pole);
  EXPECT_NEAR(wrap_signed(fit->pole->value - Angle::deg(130.0)).deg(), 0.0, 2.0);
  EXPECT_TRUE(fit->half_turn_known);
}

TEST(KnownDisc, ARingTellsThePole) {
  DiscShape shape{0.91, Angle::deg(4.0), Angle::deg(90.0), RingOutline{}};
  shape.ring->tilt = Angle::deg(17.0);
  const DiscPlace place{{70.3, 70.8}, 26.0, Angle::deg(-25.0), false};
  const auto blurred = DiscBlur(draw_disc(shape, place, 142, 142)).at(2.0, 1.7, nullptr);
  std::vector<double> light(142 * 142);
  for (std::size_t i = 0; i < light.size(); ++i) {
    light[i] = 30.0 * static_cast<double>(blurred.flat.samples()[i]) +
               70.0 * static_cast<double>(blurred.domed.samples()[i]) +
               80.0 * static_cast<double>(blurred.inner_ring.samples()[i]) +
               55.0 * static_cast<double>(blurred.outer_ring.samples()[i]);
  }
  const auto plane = plane_of(light, 142, 142, 1.5, Rng(3));
  const DiscGuess guess{{71.0, 70.0}, 90.0, 6.0, 90.0};
  const auto start = start_from_moments(plane, shape, guess);
  EXPECT_NEAR(start.diameter, 52.0, 0.15 * 52.0);
  const auto fit = fit_known_disc(plane, shape, start);
  ASSERT_TRUE(fit);
  EXPECT_FALSE(fit->doubt) << *fit->doubt;
  EXPECT_NEAR(fit->diameter.value, 52.0, 0.005 * 52.0);
  ASSERT_TRUE(fit->pole);
  EXPECT_NEAR(wrap_signed(fit->pole->value - Angle::deg(-25.0)).deg(), 0.0, 0.5);
  EXPECT_TRUE(fit->half_turn_known);
}

TEST(KnownDisc, DoubtsAnotherShape) {
  std::vector<double> star(64 * 64);
  for (int y = 0; y < 64; ++y)
    for (int x = 0; x < 64; ++x)
      star[static_cast<std::size_t>(64 * y + x)] = 200.0 * std::exp(-0.1 * std::hypot(x - 20.0, y - 40.0));
  const auto fit = fit_known_disc(plane_of(star, 64, 64, 2.0, Rng(4)), {1.0, {}, {}, {}},
                                  {{32.0, 32.0}, 30.0, 2.0, 6.0, 80.0, false, {}});
  ASSERT_TRUE(fit);
  EXPECT_TRUE(fit->doubt);
  EXPECT_FALSE(fit_known_disc(plane_of(std::vector<double>(4), 2, 2, 0.0, Rng(1)), {}, {}));
}

}  // namespace
}  // namespace halfarc
