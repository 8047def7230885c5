#include "halfarc/measure/disc_fit.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "discs.h"

namespace halfarc {
namespace {

using test::DrawnDisc;

SamplePlane noisy(const std::vector<double>& drawn, int width, int height, double background, double noise, Rng rng) {
  SamplePlane plane;
  plane.value = Plane<float>(width, height);
  plane.weight = Plane<float>(width, height);
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    plane.value.samples()[i] = static_cast<float>(background + drawn[i] + noise * rng.normal());
    plane.weight.samples()[i] = 1.0F;
  }
  return plane;
}

DiscGuess rough(const DrawnDisc& d, double background) {
  return {{d.x + 0.1 * d.diameter, d.y - 0.05 * d.diameter}, 0.9 * d.diameter, background, 0.8 * d.level};
}

// Without noise the fit gives the drawn disc back, small and large, round and oblate, at any pole angle.
TEST(DiscFit, GivesTheDrawnDiscBack) {
  for (const double diameter : {9.0, 24.0, 85.0, 180.0}) {
    for (const double angle : {-70.0, 20.0}) {
      DrawnDisc d;
      d.diameter = diameter;
      d.flattening = 0.065;
      d.pole_angle_deg = angle;
      d.blur = diameter < 10.0 ? 1.2 : 2.0;
      d.darkening = 0.5;
      const int size = static_cast<int>(1.5 * diameter) + 24;
      d.x = 0.5 * size + 0.3;
      d.y = 0.5 * size - 0.4;
      const int fine = diameter < 30.0 ? 14 : 6;
      const auto plane = noisy(test::draw(d, size, size, fine), size, size, 6.0, 0.0, Rng(1));
      const auto fit = fit_disc(plane, rough(d, 6.0));
      ASSERT_TRUE(fit);
      SCOPED_TRACE(diameter);
      EXPECT_FALSE(fit->doubt) << *fit->doubt;
      EXPECT_NEAR(fit->x.value, d.x, 0.01);
      EXPECT_NEAR(fit->y.value, d.y, 0.01);
      EXPECT_NEAR(fit->equatorial_diameter.value, diameter, 0.002 * diameter + 0.01);
      EXPECT_NEAR(fit->flattening.value, 0.065, 0.003);
      EXPECT_NEAR(fit->pole_angle.value.deg(), angle, 1.5);
      EXPECT_NEAR(fit->blur.value, std::sqrt(d.blur * d.blur + 1.0 / 12.0), 0.05);
      EXPECT_NEAR(fit->background, 6.0, 0.05);
    }
  }
}

struct Scatter {
  int count = 0;
  double sum = 0.0, squares = 0.0;
  void add(const Measured<double>& m, double truth) {
    const double z = (m.value - truth) / m.sigma;
    ++count;
    sum += z;
    squares += z * z;
  }
  double mean() const { return sum / count; }
  double variance() const { return squares / count; }
};

// Standard errors are what the scatter over seeds shows. 150 seeds: the variance of z is known to 12 %.
void expect_honest(const DrawnDisc& d, int size, double noise) {
  const auto drawn = test::draw(d, size, size, d.diameter < 20.0 ? 16 : 8);
  Scatter x, y, diameter, flattening, blur;
  for (std::uint64_t seed = 0; seed < 150; ++seed) {
    const auto fit = fit_disc(noisy(drawn, size, size, 6.0, noise, Rng(seed).child("disc")), rough(d, 6.0));
    ASSERT_TRUE(fit);
    x.add(fit->x, d.x);
    y.add(fit->y, d.y);
    diameter.add(fit->equatorial_diameter, d.diameter);
    blur.add(fit->blur, std::sqrt(d.blur * d.blur + 1.0 / 12.0));
    flattening.add(fit->flattening, d.flattening);
  }
  for (const auto& [name, s] : {std::pair{"x", x}, {"y", y}, {"diameter", diameter}, {"blur", blur}}) {
    EXPECT_NEAR(s.variance(), 1.0, 0.35) << name;
    EXPECT_NEAR(s.mean(), 0.0, 0.4) << name;
  }
  if (d.flattening > 0.03) {
    EXPECT_NEAR(flattening.variance(), 1.0, 0.4);
  }
}

TEST(DiscFit, ErrorsAreHonestForASmallDisc) {
  DrawnDisc d;
  d.diameter = 14.0;
  d.darkening = 0.6;  // so small a disc says little of it, and the fit leans on what is usual
  d.x = 20.3;
  d.y = 19.6;
  expect_honest(d, 40, 4.0);
}

TEST(DiscFit, ErrorsAreHonestForAnOblateDisc) {
  DrawnDisc d;
  d.diameter = 60.0;
  d.flattening = 0.065;
  d.pole_angle_deg = 30.0;
  d.x = 45.3;
  d.y = 44.6;
  d.blur = 2.5;
  expect_honest(d, 90, 6.0);
}

// Markings that hang together are no independent samples; the errors grow with them.
TEST(DiscFit, ErrorsGrowWithMarkings) {
  DrawnDisc d;
  d.diameter = 60.0;
  d.x = 45.0;
  d.y = 45.0;
  DrawnDisc marked = d;
  marked.spots = 0.5;
  const auto plain = fit_disc(noisy(test::draw(d, 90, 90), 90, 90, 6.0, 1.0, Rng(1)), rough(d, 6.0));
  const auto spotted = fit_disc(noisy(test::draw(marked, 90, 90), 90, 90, 6.0, 1.0, Rng(1)), rough(d, 6.0));
  ASSERT_TRUE(plain && spotted);
  EXPECT_GT(spotted->equatorial_diameter.sigma, 2.0 * plain->equatorial_diameter.sigma);
  EXPECT_NEAR(spotted->equatorial_diameter.value, 60.0, 5.0 * spotted->equatorial_diameter.sigma);
}

// Gaps and samples beside the cells' centres, as an aligned mean of one colour of a mosaic has them.
TEST(DiscFit, TakesSamplesWhereTheyAre) {
  DrawnDisc d;
  d.diameter = 40.0;
  d.x = 30.2;
  d.y = 29.9;
  SamplePlane plane = noisy(test::draw(d, 60, 60), 60, 60, 6.0, 0.0, Rng(1));
  DrawnDisc shifted = d;  // the samples of every third column were taken 0.4 pixels to the right of its centre
  shifted.x -= 0.4;
  const auto beside = test::draw(shifted, 60, 60);
  plane.beside_x = Plane<float>(60, 60);
  plane.beside_y = Plane<float>(60, 60);
  for (int y = 0; y < 60; ++y) {
    for (int x = 0; x < 60; ++x) {
      if (y % 2 == 1) {
        plane.weight(x, y) = 0.0F;
        plane.value(x, y) = 1e6F;
      } else if (x % 3 == 0) {
        plane.value(x, y) = static_cast<float>(6.0 + beside[static_cast<std::size_t>(60 * y + x)]);
        plane.beside_x(x, y) = 0.4F;
      }
    }
  }
  const auto fit = fit_disc(plane, rough(d, 6.0));
  ASSERT_TRUE(fit);
  EXPECT_NEAR(fit->x.value, d.x, 0.01);
  EXPECT_NEAR(fit->y.value, d.y, 0.01);
  EXPECT_NEAR(fit->equatorial_diameter.value, 40.0, 0.05);
}

TEST(DiscFit, DoubtsWhatIsNoDisc) {
  const int size = 64;
  std::vector<double> star(64 * 64), ring(64 * 64), nothing(64 * 64);
  for (int y = 0; y < size; ++y) {
    for (int x = 0; x < size; ++x) {
      const double r = std::hypot(x - 32.0, y - 31.0);
      star[static_cast<std::size_t>(64 * y + x)] = 120.0 * std::exp(-0.5 * r * r / 16.0);
      ring[static_cast<std::size_t>(64 * y + x)] = r > 9.0 && r < 18.0 ? 100.0 : 0.0;
    }
  }
  for (const auto& [picture, diameter] : {std::pair{star, 10.0}, {ring, 30.0}, {nothing, 20.0}}) {
    const auto plane = noisy(picture, size, size, 6.0, 2.0, Rng(2));
    const auto fit = fit_disc(plane, {{32.0, 32.0}, diameter, 6.0, 80.0});
    ASSERT_TRUE(fit);
    EXPECT_TRUE(fit->doubt);
  }
  EXPECT_FALSE(fit_disc(noisy(std::vector<double>(4), 2, 2, 6.0, 0.0, Rng(1)), {{0, 0}, 5.0, 0.0, 1.0}));
}

}  // namespace
}  // namespace halfarc
