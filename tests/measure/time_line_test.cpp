#include "halfarc/measure/time_line.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

// By hand: the line through 1, 3, 2 at 0, 1, 2 has the
// slope 1/2 and the mean 2, and leaves -1/2, 1, -1/2.
TEST(TimeLine, IsTheLineOfLeastSquares) {
  const std::vector<double> times{0.0, 1.0, 2.0}, values{1.0, 3.0, 2.0};
  const TimeLine line = fit_time_line(times, values);
  EXPECT_DOUBLE_EQ(line.slope.value, 0.5);
  EXPECT_DOUBLE_EQ(line.middle, 1.0);
  EXPECT_DOUBLE_EQ(line.at, 2.0);
  EXPECT_DOUBLE_EQ(line.left[0], -0.5);
  EXPECT_DOUBLE_EQ(line.left[1], 1.0);
}

// Independent values of deviation 1 at n even moments: the slope's variance is 12 / (n^3 step^2).
TEST(TimeLine, ErrorOfIndependentValues) {
  constexpr int kSeeds = 300, kCount = 400;
  double z2 = 0.0, stated = 0.0;
  for (std::uint64_t seed = 0; seed < kSeeds; ++seed) {
    Rng rng(seed);
    std::vector<double> times, values;
    for (int i = 0; i < kCount; ++i) {
      times.push_back(0.5 * i);
      values.push_back(3.0 - 0.01 * times.back() + rng.normal());
    }
    const Measured<double> slope = fit_time_line(times, values).slope;
    z2 += std::pow((slope.value + 0.01) / slope.sigma, 2) / kSeeds;
    stated += slope.sigma * slope.sigma / kSeeds;
  }
  EXPECT_NEAR(z2, 1.0, 0.25);
  EXPECT_NEAR(stated / (12.0 / (std::pow(kCount, 3) * 0.25)), 1.15, 0.1);  // what keeps z2 at 1
}

}  // namespace
}  // namespace halfarc
