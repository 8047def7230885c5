#include "halfarc/simulate/random_signal.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

// Over many seeds: variance 1 and the correlation of the stated law.
TEST(RandomSignal, WanderingIsForgottenAsStated) {
  constexpr int seeds = 3000;
  double square = 0.0;
  double after_one = 0.0;
  double after_half = 0.0;
  for (std::uint64_t s = 0; s < seeds; ++s) {
    const RandomSignal signal = slow_wandering(Duration::s(4.0), Rng(5).child("signal", s));
    const double now = signal.at(Duration::s(7.0));
    square += now * now / seeds;
    after_one += now * signal.at(Duration::s(11.0)) / seeds;
    after_half += now * signal.at(Duration::s(9.0)) / seeds;
  }
  const double error = std::sqrt(2.0 / seeds);  // of a variance from as many normal numbers
  EXPECT_NEAR(square, 1.0, 3.5 * error);
  EXPECT_NEAR(after_one, std::exp(-1.0), 3.5 * error);
  EXPECT_NEAR(after_half, std::exp(-0.5), 3.5 * error);
}

TEST(RandomSignal, BelongsToItsSeed) {
  const RandomSignal a = slow_wandering(Duration::s(1.0), Rng(1));
  const RandomSignal b = slow_wandering(Duration::s(1.0), Rng(2));
  EXPECT_EQ(a.at(Duration::s(3.0)), slow_wandering(Duration::s(1.0), Rng(1)).at(Duration::s(3.0)));
  EXPECT_NE(a.at(Duration::s(3.0)), b.at(Duration::s(3.0)));
}

}  // namespace
}  // namespace halfarc
