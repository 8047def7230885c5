#include "halfarc/restore/deconvolve.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "disc_run.h"
#include "halfarc/base/random.h"

namespace halfarc {
namespace {

// The kernel (1/4, 1/2, 1/4) along x.
double quarter_half_quarter(double fx, double) { return 0.5 + 0.5 * std::cos(2.0 * std::numbers::pi * fx); }

Transfer gaussian(double sigma) {
  return [=](double fx, double fy) {
    return std::exp(-2.0 * std::pow(std::numbers::pi * sigma, 2) * (fx * fx + fy * fy));
  };
}

Plane<float> row(std::initializer_list<float> values) {
  Plane<float> p(static_cast<int>(values.size()), 1);
  std::copy(values.begin(), values.end(), p.samples().begin());
  return p;
}

// A case small enough for fractions, from the published update rule [Richardson1972], [Lucy1974]: circular kernel
// (1/4, 1/2, 1/4), data (0 0 4 8 4 0 0 0), flat start 2. After two steps (0, 4/15, 56/15, 8, 56/15, 4/15, 0, 0).
TEST(PublishedRichardsonLucy, TinyCase) {
  const struct {
    int iterations;
    float values[8];
  } rows[] = {{1, {0.0F, 1.0F, 4.0F, 6.0F, 4.0F, 1.0F, 0.0F, 0.0F}},
              {2, {0.0F, 4.0F / 15.0F, 56.0F / 15.0F, 8.0F, 56.0F / 15.0F, 4.0F / 15.0F, 0.0F, 0.0F}},
              {3, {0.0F, 0.06779661F, 3.17103236F, 9.52234206F, 3.17103236F, 0.06779661F, 0.0F, 0.0F}},
              {5, {0.0F, 0.00425985F, 2.07221918F, 11.84704194F, 2.07221918F, 0.00425985F, 0.0F, 0.0F}},
              {10, {0.0F, 4.16e-06F, 0.5726055F, 14.85478069F, 0.5726055F, 4.16e-06F, 0.0F, 0.0F}},
              {100, {0.0F, 0.0F, 0.0F, 16.0F, 0.0F, 0.0F, 0.0F, 0.0F}}};
  const Plane<float> data = row({0, 0, 4, 8, 4, 0, 0, 0});
  for (const auto& expected : rows) {
    const Plane<float> x = richardson_lucy(data, quarter_half_quarter, 0.0F, expected.iterations);
    for (int i = 0; i < 8; ++i) EXPECT_NEAR(x(i, 0), expected.values[i], 2e-4F) << expected.iterations << " at " << i;
  }
}

TEST(RichardsonLucy, KeepsTheLightAndStaysPositive) {
  Rng rng(1);
  Plane<float> data(64, 48);
  double total = 0.0;
  for (float& v : data.samples()) {
    v = static_cast<float>(rng.poisson(20.0));
    total += static_cast<double>(v);
  }
  RichardsonLucy rl(data, gaussian(1.5), 0.0F);
  for (int i = 0; i < 30; ++i) {
    rl.step();
    double sum = 0.0;
    for (const float v : rl.picture().samples()) {
      EXPECT_GE(v, 0.0F);
      sum += static_cast<double>(v);
    }
    EXPECT_NEAR(sum / total, 1.0, 2e-4) << i;
  }
}

// Two noisy looks at a blurred disc with spots: the supported picture is nearer the truth than with a fifth or with
// five times as many iterations.
TEST(SupportedIterations, IsNearTheBestAgainstTheTruth) {
  const int n = 96;
  const double sharp = 0.9;
  const double kernel = 1.8;
  testing::DiscRun run;
  run.peak = 400.0;
  const auto disc = [&](double blur) {
    Plane<float> p(n, n);
    for (int y = 0; y < n; ++y) {
      for (int x = 0; x < n; ++x) p(x, y) = static_cast<float>(disc_brightness(run, {x - 47.5, y - 47.5}, blur, 0));
    }
    return p;
  };
  const Plane<float> truth = disc(sharp);
  const Plane<float> blurred = disc(std::hypot(sharp, kernel));
  Rng rng(2);
  Plane<float> a(n, n), b(n, n), mean(n, n);
  for (std::size_t i = 0; i < a.count(); ++i) {
    const double light = static_cast<double>(blurred.samples()[i]) + 5.0;
    a.samples()[i] = static_cast<float>(rng.poisson(light)) - 5.0F;
    b.samples()[i] = static_cast<float>(rng.poisson(light)) - 5.0F;
    mean.samples()[i] = 0.5F * (a.samples()[i] + b.samples()[i]);
  }
  const StoppedDeconvolution stopped = supported_iterations(a, b, gaussian(kernel), 5.0F, 400);
  EXPECT_GT(stopped.iterations, 5);
  EXPECT_LT(stopped.iterations, 200);
  EXPECT_GT(stopped.prediction[static_cast<std::size_t>(stopped.iterations - 1)], stopped.prediction.front());
  const auto error = [&](int iterations) {
    const Plane<float> x = richardson_lucy(mean, gaussian(kernel), 5.0F, iterations);
    double sum = 0.0;
    for (std::size_t i = 0; i < x.count(); ++i)
      sum += std::pow(static_cast<double>(x.samples()[i] - truth.samples()[i]), 2);
    return sum;
  };
  EXPECT_LT(error(stopped.iterations), error(stopped.iterations / 5));
  EXPECT_LT(error(stopped.iterations), error(stopped.iterations * 5));
}

// Noise about a flat level supports next to no restoration.
TEST(SupportedIterations, PureNoiseStopsAtOnce) {
  Rng rng(3);
  Plane<float> a(64, 64), b(64, 64);
  for (std::size_t i = 0; i < a.count(); ++i) {
    a.samples()[i] = static_cast<float>(rng.poisson(100.0));
    b.samples()[i] = static_cast<float>(rng.poisson(100.0));
  }
  EXPECT_LE(supported_iterations(a, b, gaussian(1.5), 1.0F).iterations, 2);
}

}  // namespace
}  // namespace halfarc
