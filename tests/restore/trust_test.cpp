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

}  // namespace
}  // namespace halfarc
