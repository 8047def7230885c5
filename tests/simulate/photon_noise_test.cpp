#include "halfarc/simulate/photon_noise.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

struct Moments {
  double mean = 0.0;
  double variance = 0.0;
  double third = 0.0;  // central
};

Moments of(const std::vector<double>& values) {
  Moments m;
  for (const double v : values) m.mean += v / static_cast<double>(values.size());
  for (const double v : values) {
    const double d = v - m.mean;
    m.variance += d * d / static_cast<double>(values.size());
    m.third += d * d * d / static_cast<double>(values.size());
  }
  return m;
}

constexpr int kDraws = 400'000;

class PoissonMeans : public testing::TestWithParam<double> {};
// Over the tables, at their edges, and beyond.
INSTANTIATE_TEST_SUITE_P(DimToBright, PoissonMeans,
                         testing::Values(0.03, 0.249, 0.5, 1.3, 7.77, 30.1, 63.9, 64.0, 150.0, 2000.0, 90000.0));

// Mean, variance and third central moment of a Poisson number are all its mean; 5 sigma of 400 000 draws.
TEST_P(PoissonMeans, MomentsAreThoseOfPoisson) {
  const PhotonNoise noise;
  FastBits bits(7);
  const double m = GetParam();
  std::vector<double> draws;
  for (int i = 0; i < kDraws; ++i) draws.push_back(static_cast<double>(noise.poisson(static_cast<float>(m), bits)));
  const Moments got = of(draws);
  EXPECT_NEAR(got.mean, m, 5.0 * std::sqrt(m / kDraws));
  EXPECT_NEAR(got.variance, m, 5.0 * std::sqrt((2.0 * m * m + m) / kDraws));
  EXPECT_NEAR(got.third, m, 5.0 * std::sqrt((6.0 * m * m * m + 18.0 * m * m + m) / kDraws));
}

// Chi-square of the counts against the exact probabilities; a fair sampler exceeds the limit once in 3000.
TEST_P(PoissonMeans, CountsFollowTheExactProbabilities) {
  const PhotonNoise noise;
  FastBits bits(8);
  const double m = GetParam();
  std::vector<double> counts(100'000, 0.0);
  for (int i = 0; i < kDraws; ++i) counts[static_cast<std::size_t>(noise.poisson(static_cast<float>(m), bits))] += 1.0;
  double chi_square = 0.0;
  int cells = 0;
  double pooled_expected = 0.0;
  double pooled = 0.0;
  for (std::size_t k = 0; k < counts.size(); ++k) {
    const double kd = static_cast<double>(k);
    pooled_expected += kDraws * std::exp(kd * std::log(m) - m - std::lgamma(kd + 1.0));
    pooled += counts[k];
    if (pooled_expected < 20.0) continue;
    chi_square += (pooled - pooled_expected) * (pooled - pooled_expected) / pooled_expected;
    ++cells;
    pooled = pooled_expected = 0.0;
  }
  const double freedom = cells - 1;
  EXPECT_LT(chi_square, freedom + 3.4 * std::sqrt(2.0 * freedom) + 6.0) << cells << " cells";
}

TEST(PhotonNoise, AgreesWithTheExactSamplerOfBase) {
  const PhotonNoise noise;
  FastBits bits(9);
  Rng rng(9);
  double fast = 0.0;
  double exact = 0.0;
  constexpr double mean = 12.6;
  constexpr int draws = 200'000;
  for (int i = 0; i < draws; ++i) {
    fast += noise.poisson(static_cast<float>(mean), bits) > 17.0F ? 1.0 : 0.0;
    exact += rng.poisson(mean) > 17 ? 1.0 : 0.0;
  }
  EXPECT_NEAR(fast, exact, 5.0 * std::sqrt(fast + exact));
}

TEST(PhotonNoise, NormalNumbers) {
  const PhotonNoise noise;
  FastBits bits(10);
  std::vector<double> draws;
  int beyond_three = 0;
  for (int i = 0; i < kDraws; ++i) {
    draws.push_back(static_cast<double>(noise.normal(static_cast<std::uint32_t>(bits.next() >> 32))));
    beyond_three += std::abs(draws.back()) > 3.0 ? 1 : 0;
  }
  const Moments got = of(draws);
  EXPECT_NEAR(got.mean, 0.0, 5.0 / std::sqrt(kDraws));
  EXPECT_NEAR(got.variance, 1.0, 5.0 * std::sqrt(2.0 / kDraws));
  EXPECT_NEAR(beyond_three, 0.0026998 * kDraws, 5.0 * std::sqrt(0.0027 * kDraws));
}

TEST(PhotonNoise, NoLightNoElectrons) {
  const PhotonNoise noise;
  FastBits bits(11);
  EXPECT_EQ(noise.poisson(0.0F, bits), 0.0F);
  EXPECT_EQ(noise.poisson(-3.0F, bits), 0.0F);
  EXPECT_EQ(noise.poisson(std::nanf(""), bits), 0.0F);
}

}  // namespace
}  // namespace halfarc
