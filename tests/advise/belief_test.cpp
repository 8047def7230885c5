#include "halfarc/advise/belief.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>

namespace halfarc {
namespace {

TEST(Belief, AveragesTwoReadingsOfOneNumberByTheirErrors) {
  Belief belief = Belief::of(std::array{0.0}, std::array{1e4});
  learn(belief, std::array{1.0}, std::array{2.0 - belief.mean[0]}, std::array{1.0});
  learn(belief, std::array{1.0}, std::array{5.0 - belief.mean[0]}, std::array{0.25});
  EXPECT_NEAR(belief.mean[0], (2.0 + 4.0 * 5.0) / 5.0, 1e-6);
  EXPECT_NEAR(belief.sigma(0), std::sqrt(0.2), 1e-6);
}

TEST(Belief, LearnsAResponseFromBeforeAndAfter) {
  // State and response; the state moves by twice the response between the readings.
  Belief belief = Belief::of(std::array{0.0, 0.0}, std::array{100.0, 100.0});
  learn(belief, std::array{1.0, 0.0}, std::array{3.0}, std::array{0.01});
  carry(belief, std::array{1.0, 2.0, 0.0, 1.0});
  learn(belief, std::array{1.0, 0.0}, std::array{7.0 - belief.mean[0]}, std::array{0.01});
  EXPECT_NEAR(belief.mean[1], 2.0, 1e-4);
  EXPECT_NEAR(belief.sigma(1), std::sqrt(0.02) / 2.0, 1e-4);
  EXPECT_NEAR(belief.mean[0], 7.0, 1e-4);
}

TEST(Belief, SaysHowLikelyAReadingWas) {
  // A pair of independent numbers: the density is the product of two normal ones.
  Belief belief = Belief::of(std::array{0.0, 0.0}, std::array{1.0, 2.0});
  const double told =
      learn(belief, std::array{1.0, 0.0, 0.0, 1.0}, std::array{1.0, -1.0}, std::array{3.0, 0.0, 0.0, 5.0});
  const double wanted = -0.5 * (1.0 / 4.0 + 1.0 / 9.0 + std::log(36.0)) - std::log(2.0 * std::numbers::pi);
  EXPECT_NEAR(told, wanted, 1e-12);
}

TEST(Belief, FindsItsWayAlongABentResponse) {
  // One number seen as its square.
  Belief belief = Belief::of(std::array{1.0}, std::array{100.0});
  const auto squared = [](std::span<const double> at) { return Expected{{at[0] * at[0]}, {2.0 * at[0]}}; };
  learn_bent(belief, squared, {}, std::array{2.0}, std::array{9.0}, std::array{0.0036});
  EXPECT_NEAR(belief.mean[0], 3.0, 1e-4);
  EXPECT_NEAR(belief.sigma(0), 0.06 / 6.0, 1e-4);
  const std::array bounds{Bounds{0.0, 2.5}};
  belief = Belief::of(std::array{1.0}, std::array{100.0});
  learn_bent(belief, squared, bounds, std::array{2.0}, std::array{9.0}, std::array{0.0036});
  EXPECT_NEAR(belief.mean[0], 2.5, 1e-9);
}

// The sum of two numbers is read, of which the first cannot be negative: what it would have to be goes to the second,
// as if the first were known to be nil: a prior of 0.4 +- 0.1 and a reading of 0.2 +- 0.05 make 0.24.
TEST(Belief, ANumberHeldAtItsBoundLeavesTheRestToTheOthers) {
  const auto sum = [](std::span<const double> at) { return Expected{{at[0] + at[1]}, {1.0, 1.0}}; };
  const std::array bounds{Bounds{0.0, 10.0}, Bounds{-5.0, 5.0}};
  Belief belief = Belief::of(std::array{1.0, 0.4}, std::array{3.0, 0.1});
  learn_bent(belief, sum, bounds, std::array{0.0, 0.4}, std::array{0.2}, std::array{0.0025});
  EXPECT_NEAR(belief.mean[0], 0.0, 1e-9);
  EXPECT_NEAR(belief.mean[1], 0.24, 1e-4);
}

TEST(Belief, StaysACovarianceAfterAHundredThousandSharpReadings) {
  Belief belief = Belief::of(std::array{0.0, 0.0}, std::array{1e6, 1e-3});
  for (int i = 0; i < 100'000; ++i) learn(belief, std::array{1.0, 1.0}, std::array{0.0}, std::array{1e-12});
  EXPECT_GE(belief.between(0, 0), 0.0);
  EXPECT_GE(belief.between(0, 0) * belief.between(1, 1) - std::pow(belief.between(0, 1), 2),
            -1e-12 * belief.between(0, 0) * belief.between(1, 1));
}

}  // namespace
}  // namespace halfarc
