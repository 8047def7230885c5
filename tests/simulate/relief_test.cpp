#include "halfarc/simulate/relief.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

Vector3 somewhere(Rng& rng) {
  const Vector3 v{rng.normal(), rng.normal(), rng.normal()};
  return v * (1.0 / std::sqrt(dot(v, v)));
}

TEST(Relief, MeanNoughtAndAboutOne) {
  Rng rng(1);
  double sum = 0.0, squares = 0.0;
  constexpr int n = 20'000;
  for (int i = 0; i < n; ++i) {
    const double v = relief(somewhere(rng), {20.0, 0.5, 1000.0}, 3);
    EXPECT_LT(std::abs(v), 1.7);
    sum += v;
    squares += v * v;
  }
  EXPECT_NEAR(sum / n, 0.0, 0.03);
  EXPECT_GT(std::sqrt(squares / n), 0.15);
  EXPECT_LT(std::sqrt(squares / n), 0.6);
}

// More magnification adds detail and changes nothing that was seen before by more than that detail.
TEST(Relief, DetailComesOnTopOfWhatWasThere) {
  Rng rng(2);
  for (int i = 0; i < 200; ++i) {
    const Vector3 p = somewhere(rng);
    const double coarse = relief(p, {2.0, 0.5, 33.0}, 4);
    const double fine = relief(p, {2.0, 0.5, 4000.0}, 4);
    EXPECT_NEAR(fine, coarse, 0.8 * (1.0 / 16.0) * 2.0);
  }
}

TEST(Relief, NothingFinerThanAskedFor) {
  EXPECT_EQ(relief({0.3, 0.5, 0.8}, {8.0, 0.5, 4.0}, 1), 0.0);
  // Smooth on the scale of the finest wave: a hundredth of it away the pattern is the same.
  Rng rng(3);
  for (int i = 0; i < 200; ++i) {
    const Vector3 p = somewhere(rng);
    const Vector3 q = p + Vector3{0.01 / 40.0, 0.0, 0.0};
    EXPECT_NEAR(relief(p, {2.0, 0.5, 40.0}, 4), relief(q, {2.0, 0.5, 40.0}, 4), 0.02);
  }
}

TEST(Relief, ASeedIsASurface) {
  EXPECT_EQ(relief({0.1, 0.2, 0.9}, {}, 7), relief({0.1, 0.2, 0.9}, {}, 7));
  EXPECT_NE(relief({0.1, 0.2, 0.9}, {}, 7), relief({0.1, 0.2, 0.9}, {}, 8));
}

}  // namespace
}  // namespace halfarc
