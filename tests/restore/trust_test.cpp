#include "halfarc/restore/trust.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

// Left: the same detail in both halves with little noise. Right: noise alone.
TEST(TrustMap, IsHighWhereHalvesAgreeAndLowWhereTheyDoNot) {
  Rng rng(1);
  Plane<float> a(96, 64), b(96, 64);
  for (int y = 0; y < 64; ++y) {
    for (int x = 0; x < 96; ++x) {
      const double detail = x < 48 ? 10.0 * std::sin(0.9 * x) * std::cos(0.8 * y) : 0.0;
      a(x, y) = static_cast<float>(detail + rng.normal());
      b(x, y) = static_cast<float>(detail + rng.normal());
    }
  }
  const Plane<float> trust = trust_map(a, b, 4.0, 4.0);
  double left = 0.0;
  double right = 0.0;
  for (int y = 8; y < 56; ++y) {
    for (int x = 8; x < 36; ++x) left += static_cast<double>(trust(x, y)) / (48 * 28);
    for (int x = 60; x < 88; ++x) right += static_cast<double>(trust(x, y)) / (48 * 28);
  }
  EXPECT_GT(left, 0.95);
  EXPECT_LT(right, 0.15);
}

TEST(GaussianSmooth, KeepsLightAndWidensBySigma) {
  Plane<float> p(61, 61);
  p(30, 30) = 1000.0F;
  const Plane<float> s = gaussian_smooth(p, 3.0);
  double sum = 0.0;
  double second = 0.0;
  for (int y = 0; y < 61; ++y) {
    for (int x = 0; x < 61; ++x) {
      sum += static_cast<double>(s(x, y));
      second += static_cast<double>(s(x, y)) * (x - 30) * (x - 30);
    }
  }
  EXPECT_NEAR(sum, 1000.0, 0.05);
  EXPECT_NEAR(std::sqrt(second / sum), 3.0, 0.01);
}

TEST(GaussianSmooth, MirrorsAtTheBorders) {
  Plane<float> p(20, 20);
  for (float& v : p.samples()) v = 5.0F;
  const Plane<float> smooth = gaussian_smooth(p, 4.0);
  for (const float v : smooth.samples()) EXPECT_NEAR(v, 5.0F, 1e-4F);
}

}  // namespace
}  // namespace halfarc
