// Rng::poisson against the Poisson law: P(k) = exp(k ln m - m - ln k!), with the C library's lgamma.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <map>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

constexpr int kDraws = 400'000;

std::map<std::int64_t, int> counts_of(double mean) {
  Rng rng = Rng(11).child("poisson", static_cast<std::uint64_t>(mean * 10.0));
  std::map<std::int64_t, int> counts;
  for (int i = 0; i < kDraws; ++i) ++counts[rng.poisson(mean)];
  return counts;
}

double probability(std::int64_t k, double mean) {
  const double n = static_cast<double>(k);
  return std::exp(n * std::log(mean) - mean - std::lgamma(n + 1.0));
}

class Poisson : public testing::TestWithParam<double> {};

TEST_P(Poisson, MeanAndVariance) {
  const double mean = GetParam();
  double sum = 0.0, squares = 0.0;
  for (const auto& [k, count] : counts_of(mean)) {
    const double d = static_cast<double>(k) - mean;
    sum += d * count;
    squares += d * d * count;
  }
  // Five standard errors; the variance of the squared deviation is mean + 2 mean^2.
  EXPECT_NEAR(sum / kDraws, 0.0, 5.0 * std::sqrt(mean / kDraws));
  EXPECT_NEAR(squares / kDraws, mean, 5.0 * std::sqrt((mean + 2.0 * mean * mean) / kDraws));
}

// Pearson's chi-square over bins of at least 50 expected draws, joined from neighbouring values.
TEST_P(Poisson, ChiSquare) {
  const double mean = GetParam();
  const auto counts = counts_of(mean);
  const double reach = 8.0 * std::sqrt(mean) + 12.0;
  const auto first = static_cast<std::int64_t>(std::max(0.0, std::floor(mean - reach)));
  const auto last = static_cast<std::int64_t>(std::ceil(mean + reach));
  const double least = std::max(50.0, kDraws / 200.0);
  double chi_square = 0.0, expected = 0.0, observed = 0.0, seen = 0.0, expected_so_far = 0.0;
  int bins = 0;
  const auto close_bin = [&] {
    chi_square += (observed - expected) * (observed - expected) / expected;
    ++bins;
    expected = observed = 0.0;
  };
  for (std::int64_t k = first; k <= last; ++k) {
    const auto found = counts.find(k);
    const int count = found == counts.end() ? 0 : found->second;
    expected += kDraws * probability(k, mean);
    observed += count;
    seen += count;
    if (expected >= least && kDraws - expected_so_far - expected >= least) {
      expected_so_far += expected;
      close_bin();
    }
  }
  close_bin();
  EXPECT_EQ(seen, kDraws);  // nothing outside eight standard deviations and a dozen
  ASSERT_GE(bins, 3);
  const double freedom = bins - 1;
  // Chi-square has mean `freedom` and variance 2 `freedom`; five sigma, with room for its skewness when few bins.
  EXPECT_LT(chi_square, freedom + 5.0 * std::sqrt(2.0 * freedom) + 8.0) << bins << " bins";
  EXPECT_GT(chi_square, freedom - 5.0 * std::sqrt(2.0 * freedom)) << bins << " bins";
}

// Either side of 10, where the method changes; read-noise levels to a full well.
INSTANTIATE_TEST_SUITE_P(Means, Poisson, testing::Values(0.3, 2.0, 9.9, 10.1, 35.0, 200.0, 1e4, 1e6));

TEST(PoissonEdges, ZeroForWhatIsNoMean) {
  Rng rng(1);
  EXPECT_EQ(rng.poisson(0.0), 0);
  EXPECT_EQ(rng.poisson(-3.0), 0);
  EXPECT_EQ(rng.poisson(std::numeric_limits<double>::quiet_NaN()), 0);
  EXPECT_NEAR(static_cast<double>(rng.poisson(std::numeric_limits<double>::infinity())), 1e15, 1e9);
}

}  // namespace
}  // namespace halfarc
