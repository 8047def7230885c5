#include "halfarc/measure/series.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

// White noise: the mean of the estimate is the variance of the sum, n.
TEST(LongRun, IsTheVarianceOfTheSum) {
  double mean = 0.0;
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    Rng rng(seed);
    std::vector<double> v(400);
    for (double& x : v) x = rng.normal();
    mean += long_run_square(v) / 200.0;
  }
  EXPECT_NEAR(mean / 400.0, 1.0, 0.05);
  EXPECT_EQ(long_run_square({}), 0.0);
}

// The mean square of (mean found / its error) over many series whose true mean is nil.
double z2_of_means(std::size_t count, double memory) {
  constexpr int kSeeds = 600;
  double z2 = 0.0;
  Rng rng(11);
  for (int seed = 0; seed < kSeeds; ++seed) {
    std::vector<double> v(count);
    double x = rng.normal(), mean = 0.0;
    for (double& value : v) {
      value = x;
      mean += x / static_cast<double>(count);
      x = memory * x + std::sqrt(1.0 - memory * memory) * rng.normal();
    }
    for (double& value : v) value -= mean;
    const double n = static_cast<double>(count);
    z2 += mean * mean * n * n / error_square(v) / kSeeds;
  }
  return z2;
}

TEST(ErrorSquare, IsHonestWhereTheMeanWasTakenOff) {
  for (const std::size_t count : {100U, 400U, 1200U}) EXPECT_NEAR(z2_of_means(count, 0.0), 1.0, 0.15) << count;
  EXPECT_NEAR(z2_of_means(400, 0.8), 1.05, 0.2);  // values hang together over 9 of them
  EXPECT_LT(z2_of_means(400, 0.9), 1.5);
}

}  // namespace
}  // namespace halfarc
