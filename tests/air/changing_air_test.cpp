#include "halfarc/air/changing_air.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

namespace halfarc {
namespace {

TEST(ChangingAir, InstantsShareWhatTheLawSays) {
  EXPECT_NEAR(exposures_alike(0.0, 0.0), 1.0, 1e-12);
  EXPECT_NEAR(exposures_alike(1.0, 0.0), std::exp(-1.0), 1e-12);
  EXPECT_NEAR(exposures_alike(0.5, 0.0), std::exp(-std::pow(0.5, 5.0 / 3.0)), 1e-12);
}

// For short exposures the double mean of |t - t'|^(5/3) over an exposure e is 2 e^(5/3) / ((5/3 + 1)(5/3 + 2)).
TEST(ChangingAir, ShortExposuresLoseWhatTheIntegralSays) {
  const double e = 0.1;
  EXPECT_NEAR(1.0 - exposures_alike(0.0, e), std::pow(e, 5.0 / 3.0) * 2.0 / (8.0 / 3.0 * 11.0 / 3.0), 1e-4);
}

// Long ones hold e / (2 Gamma(1 + 3/5)) independent pieces: the integral of the law over all times is 2 Gamma(8/5).
TEST(ChangingAir, LongExposuresHoldManyLifetimes) {
  EXPECT_NEAR(exposures_alike(0.0, 8.0) * 8.0, 2.0 * std::tgamma(1.6), 0.15);
}

TEST(ChangingAir, TheLifetimeComesBack) {
  for (const double lifetime : {0.8, 2.0, 7.0}) {
    std::array<double, 3> differing{};
    for (std::size_t k = 0; k < 3; ++k)
      differing[k] = 40.0 * exposures_alike(static_cast<double>(k) / lifetime, 0.8 / lifetime);
    EXPECT_NEAR(*lifetime_of_differences(differing, 0.8) / lifetime, 1.0, 0.02);
  }
  const std::array<double, 3> strangers = {1.0, 0.0, 0.0};
  EXPECT_FALSE(lifetime_of_differences(strangers, 0.8).has_value());
  const std::array<double, 2> none = {0.0, 0.0};
  EXPECT_FALSE(lifetime_of_differences(none, 0.8).has_value());
}

}  // namespace
}  // namespace halfarc
