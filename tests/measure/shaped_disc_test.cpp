#include "halfarc/measure/shaped_disc.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace halfarc {
namespace {

double sum_of(const Plane<float>& p) {
  double sum = 0.0;
  for (const float v : p.samples()) sum += static_cast<double>(v);
  return sum;
}

PixelPoint centroid_of(const Plane<float>& p) {
  double sum = 0.0, x = 0.0, y = 0.0;
  for (int row = 0; row < p.height(); ++row) {
    for (int column = 0; column < p.width(); ++column) {
      sum += static_cast<double>(p(column, row));
      x += static_cast<double>(p(column, row)) * column;
      y += static_cast<double>(p(column, row)) * row;
    }
  }
  return {x / sum, y / sum};
}

constexpr double kRadius = 20.0;
const DiscPlace kPlace{{40.3, 39.6}, kRadius, Angle::deg(30.0), false};

// Area of an ellipse, and two thirds of it under Lambert's law: the mean of mu over the disc.
TEST(ShapedDisc, LightOfAFullDisc) {
  const auto p = draw_disc({0.93, {}, {}, {}}, kPlace, 80, 80);
  const double area = std::numbers::pi * kRadius * kRadius * 0.93;
  EXPECT_NEAR(sum_of(p.flat) / area, 1.0, 1e-3);
  EXPECT_NEAR(sum_of(p.domed) / area, 2.0 / 3.0, 1e-3);
  EXPECT_NEAR(centroid_of(p.flat).x, 40.3, 0.005);
  EXPECT_NEAR(centroid_of(p.flat).y, 39.6, 0.005);
}

// The phase integral of a white sphere: (sin i + (pi - i) cos i) / pi of the light at full phase (from memory).
TEST(ShapedDisc, LightAtAPhase) {
  for (const double i : {0.3, 1.2, 2.2}) {
    const auto p = draw_disc({1.0, Angle::rad(i), Angle::deg(90.0), {}}, kPlace, 80, 80);
    const double full = std::numbers::pi * kRadius * kRadius * 2.0 / 3.0;
    EXPECT_NEAR(sum_of(p.domed) / full, (std::sin(i) + (std::numbers::pi - i) * std::cos(i)) / std::numbers::pi, 2e-3);
  }
}

// The bright limb's position angle runs north through east: anticlockwise on the image, clockwise on a mirrored one.
TEST(ShapedDisc, TheBrightLimbLiesWhereItShould) {
  for (const bool mirrored : {false, true}) {
    DiscPlace place = kPlace;
    place.mirrored = mirrored;
    const auto p = draw_disc({1.0, Angle::deg(80.0), Angle::deg(100.0), {}}, place, 80, 80);
    const Angle towards = direction_of(centroid_of(p.domed) - place.centre);
    EXPECT_NEAR(wrap_signed(towards - Angle::deg(mirrored ? 130.0 : -70.0)).deg(), 0.0, 0.5);
  }
}

// A ring seen at a tilt: its light is its area; the near half lies south when the north face is seen and covers the
// globe there, the far half is covered by it.
TEST(ShapedDisc, ARingPassesBeforeAndBehind) {
  DiscShape shape{0.9, {}, {}, RingOutline{}};
  shape.ring->tilt = Angle::deg(20.0);
  DiscPlace place{{60.0, 60.0}, 20.0, Angle(), false};
  const auto p = draw_disc(shape, place, 120, 120);
  EXPECT_GT(p.inner_ring(95, 60), 0.9F);       // beside the globe
  EXPECT_GT(p.inner_ring(60, 60 + 12), 0.9F);  // 1.75 radii * sin 20 south: before the globe
  EXPECT_LT(p.flat(60, 60 + 12), 0.1F);
  EXPECT_LT(p.inner_ring(60, 60 - 12), 0.1F);  // north: behind
  EXPECT_GT(p.flat(60, 60 - 12), 0.9F);
  shape.ring->tilt = Angle::deg(-20.0);
  EXPECT_GT(draw_disc(shape, place, 120, 120).inner_ring(60, 60 - 12), 0.9F);
}

// A blur keeps the light, and spreads a Gaussian's variance.
TEST(ShapedDisc, BlurKeepsTheLight) {
  const auto sharp = draw_disc({1.0, {}, {}, {}}, kPlace, 96, 96);
  const DiscBlur blur(sharp);
  const ClipOptics optics{{Length::mm(203.0), 0.34}, Length::nm(540.0), PlateScale::arcsec_per_px(0.175)};
  const auto telescope = telescope_blur(optics, {}, 1, 96, 96);
  EXPECT_NEAR(telescope.cut_off, 0.203 / 540e-9 * PlateScale::arcsec_per_px(0.175).angle(1.0).rad(), 1e-9);
  for (const auto& p : {blur.at(2.0, 2.0, nullptr), blur.at(2.0, 0.8, &telescope)}) {
    EXPECT_NEAR(sum_of(p.flat) / sum_of(sharp.flat), 1.0, 1e-5);
  }
  EXPECT_NEAR(centroid_of(blur.at(2.0, 2.0, nullptr).flat).x, 40.3, 0.01);
  // Through the middle of the limb a broad disc's Gaussian edge is about half as bright.
  EXPECT_NEAR(blur.at(1.5, 2.0, nullptr).flat(60, 40), 0.5F, 0.12F);
}

// Variances of independent shifts add: along the line by the square of the standard deviation, across it by none.
TEST(ShapedDisc, ASmearDrawsOutAlongItsLine) {
  const auto sharp = draw_disc({1.0, {}, {}, {}}, kPlace, 96, 96);
  const DiscBlur blur(sharp);
  const ClipOptics optics{{Length::m(20.0), 0.0}, Length::nm(540.0), PlateScale::arcsec_per_px(0.175)};
  const PixelOffset smear{1.2, 0.9};
  const auto plain = telescope_blur(optics, {}, 1, 96, 96), drawn = telescope_blur(optics, smear, 1, 96, 96);
  const auto variance = [](const Plane<float>& p, PixelOffset along) {
    const PixelPoint middle = centroid_of(p);
    double sum = 0.0;
    for (int y = 0; y < p.height(); ++y)
      for (int x = 0; x < p.width(); ++x)
        sum += static_cast<double>(p(x, y)) * std::pow((x - middle.x) * along.x + (y - middle.y) * along.y, 2);
    return sum / sum_of(p);
  };
  const auto before = blur.at(1.0, 0.8, &plain).flat, after = blur.at(1.0, 0.8, &drawn).flat;
  EXPECT_NEAR(variance(after, {0.8, 0.6}) - variance(before, {0.8, 0.6}), 1.5 * 1.5, 0.02);
  EXPECT_NEAR(variance(after, {-0.6, 0.8}) - variance(before, {-0.6, 0.8}), 0.0, 0.02);
}

}  // namespace
}  // namespace halfarc
