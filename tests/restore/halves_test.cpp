#include "halfarc/restore/halves.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/base/random.h"
#include "halfarc/restore/smooth.h"

namespace halfarc {
namespace {

Plane<float> constant(int width, int height, float value) {
  Plane<float> p(width, height);
  for (float& v : p.samples()) v = value;
  return p;
}

void add_noise(Plane<float>& p, double sigma, Rng rng) {
  for (float& v : p.samples()) v += static_cast<float>(sigma * rng.normal());
}

// [vanHeel2005], [Saxton1982]: values computed from the published formulae to five digits.
TEST(PublishedThresholds, HalfBitAndOneBit) {
  const struct {
    double n, half_bit, one_bit;
  } rows[] = {{4, 0.69919, 0.77346},   {8, 0.57718, 0.67678},    {16, 0.47722, 0.59537},  {32, 0.39823, 0.52959},
              {64, 0.33756, 0.47816},  {100, 0.30669, 0.45169},  {128, 0.29198, 0.43901}, {256, 0.25830, 0.40978},
              {512, 0.23372, 0.38828}, {1000, 0.21645, 0.37311}, {2000, 0.20352, 0.36170}};
  for (const auto& row : rows) {
    EXPECT_NEAR(half_bit_threshold(row.n), row.half_bit, 1e-5) << row.n;
    EXPECT_NEAR(one_bit_threshold(row.n), row.one_bit, 1e-5) << row.n;
  }
}

// The constants follow from SNR = (sqrt 2 - 1)/2 in (SNR + 2 sqrt(SNR/n) + 1/sqrt n)/(SNR + 1 + 2 sqrt(SNR/n));
// 1.2701 in place of 1.2071 is a misprint that has spread.
TEST(PublishedThresholds, HalfBitIsNotTheMisprint) {
  EXPECT_NEAR(half_bit_threshold(1e12), 0.2071 / 1.2071, 1e-5);
  EXPECT_GT(std::abs(half_bit_threshold(1e12) - 0.2071 / 1.2701), 0.008);
  const double snr = 0.5 * (std::sqrt(2.0) - 1.0);
  for (const double n : {10.0, 100.0, 10000.0}) {
    const double r = 1.0 / std::sqrt(n);
    EXPECT_NEAR(half_bit_threshold(n), (snr + 2 * std::sqrt(snr) * r + r) / (snr + 1 + 2 * std::sqrt(snr) * r), 1e-4);
  }
}

TEST(RingCorrelation, OfIndependentNoiseIsZeroWithinItsError) {
  Plane<float> a(128, 128), b(128, 128);
  add_noise(a, 1.0, Rng(1));
  add_noise(b, 1.0, Rng(2));
  const RingCorrelation rings = ring_correlation(a, b, constant(128, 128, 1.0F));
  double chi2 = 0.0;
  int count = 0;
  for (std::size_t r = 3; r < rings.correlation.size() - 1; ++r, ++count) {
    chi2 += rings.correlation[r] * rings.correlation[r] * 2.0 * rings.independent[r];
  }
  EXPECT_NEAR(chi2 / count, 1.0, 0.5);  // 60 rings: the mean of chi-square has a spread of 0.18
}

// Two equal-noise halves agree as SNR / (1 + SNR) [Rosenthal2003].
TEST(RingCorrelation, OfCommonSignalIsSnrOverOnePlusSnr) {
  for (const double snr : {0.25, 1.0, 4.0}) {
    Plane<float> common(256, 256);
    add_noise(common, std::sqrt(snr), Rng(3));
    Plane<float> a = common.copy();
    Plane<float> b = common.copy();
    add_noise(a, 1.0, Rng(4));
    add_noise(b, 1.0, Rng(5));
    const RingCorrelation rings = ring_correlation(a, b, constant(256, 256, 1.0F));
    double mean = 0.0;
    double weight = 0.0;
    for (std::size_t r = 5; r + 1 < rings.correlation.size(); ++r) {
      mean += rings.independent[r] * rings.correlation[r];
      weight += rings.independent[r];
    }
    EXPECT_NEAR(mean / weight, snr / (1.0 + snr), 0.015);
  }
}

TEST(RingCorrelation, MaskCountsFewerIndependentValues) {
  Plane<float> a(64, 64);
  add_noise(a, 1.0, Rng(6));
  Plane<float> mask(64, 64);
  for (int y = 0; y < 32; ++y) {
    for (int x = 0; x < 32; ++x) mask(x, y) = 1.0F;
  }
  const RingCorrelation whole = ring_correlation(a, a, constant(64, 64, 1.0F));
  const RingCorrelation part = ring_correlation(a, a, mask);
  EXPECT_NEAR(part.independent[20] / whole.independent[20], 0.25, 0.01);
  EXPECT_GT(part.threshold[20], whole.threshold[20]);
}

RingCorrelation falling(double edge, double width) {
  RingCorrelation rings;
  for (int r = 0; r <= 100; ++r) {
    const double f = r * 0.005;
    rings.frequency.push_back(f);
    rings.correlation.push_back(1.0 / (1.0 + std::exp((f - edge) / width)));
    rings.independent.push_back(1000.0);
    rings.threshold.push_back(half_bit_threshold(1000.0));
  }
  return rings;
}

TEST(ResolvedFrequency, IsTheCrossingBetweenRings) {
  const RingCorrelation rings = falling(0.2, 0.02);
  const double t = half_bit_threshold(1000.0);
  const double exact = 0.2 + 0.02 * std::log(1.0 / t - 1.0);
  const Measured<double> found = resolved_frequency(rings);
  EXPECT_NEAR(found.value, exact, 0.0005);
  // One error of the correlation, 0.022, over the slope t (1 - t) / 0.02 there.
  EXPECT_NEAR(found.sigma, (1 - t * t) / std::sqrt(2000.0) / (t * (1 - t) / 0.02), 0.0008);
}

TEST(ResolvedFrequency, OneLowRingIsNotTheEnd) {
  RingCorrelation rings = falling(0.2, 0.02);
  rings.correlation[10] = 0.0;
  EXPECT_NEAR(resolved_frequency(rings).value, resolved_frequency(falling(0.2, 0.02)).value, 1e-12);
}

TEST(ResolvedFrequency, NothingInCommonResolvesNothing) {
  RingCorrelation rings = falling(0.2, 0.02);
  for (double& c : rings.correlation) c = 0.0;
  EXPECT_DOUBLE_EQ(resolved_frequency(rings, 0.03).value, 0.03);
}

TEST(SignalToNoise, FollowsTheHalvesAndNeverRises) {
  const RingCorrelation rings = falling(0.2, 0.05);
  const double resolved = resolved_frequency(rings).value;
  const std::vector<double> snr = signal_to_noise(rings, resolved);
  EXPECT_NEAR(snr[40] / (2.0 * rings.correlation[40] / (1.0 - rings.correlation[40])), 1.0, 0.02);
  for (std::size_t r = 1; r < snr.size(); ++r) EXPECT_LE(snr[r], snr[r - 1]) << r;
  EXPECT_GT(snr.back(), 0.0);
}

// Rosenthal & Henderson 2003: a correlation of halves of 0.143 is one of 0.5 with the truth.
TEST(Halves, CorrelationWithTheTruthFollowsFromTheHalves) {
  EXPECT_NEAR(correlation_with_truth(0.143), 0.5, 1e-3);
  EXPECT_NEAR(correlation_with_truth(1.0), 1.0, 1e-12);
  EXPECT_EQ(correlation_with_truth(-0.1), 0.0);
}

// White noise over a signal whose power falls with frequency: the claim is where the mean of both halves really
// correlates by one half with the signal, within its errors.
TEST(Halves, TheClaimIsWhereTheImageIsHalfTrue) {
  constexpr int kSize = 96;
  double z2 = 0.0, off = 0.0;
  constexpr int kRuns = 24;
  for (int run = 0; run < kRuns; ++run) {
    Rng rng = Rng(11).child("run", static_cast<std::uint64_t>(run));
    Plane<float> a(kSize, kSize), b(kSize, kSize), scene(kSize, kSize), mask(kSize, kSize);
    for (float& v : scene.samples()) v = static_cast<float>(40.0 * rng.normal());
    scene = gaussian_smooth(scene, 1.5);
    for (std::size_t i = 0; i < scene.count(); ++i) {
      a.samples()[i] = scene.samples()[i] + static_cast<float>(3.0 * rng.normal());
      b.samples()[i] = scene.samples()[i] + static_cast<float>(3.0 * rng.normal());
      // Faded to the borders, which do not meet.
      const double x = static_cast<double>(i % kSize), y = static_cast<double>(i / kSize);
      mask.samples()[i] = static_cast<float>(std::sin(M_PI * (x + 0.5) / kSize) * std::sin(M_PI * (y + 0.5) / kSize));
      mask.samples()[i] *= mask.samples()[i];
    }
    const Measured<double> claim = resolved_frequency(pooled_for_claim(ring_correlation(a, b, mask)));
    // Power of signal 40^2 exp(-(2 pi f s)^2), of the mean's noise 3^2 / 2: their ratio is 1/3 where the truth
    // correlates by 1/2.
    const double truth = std::sqrt(std::log(1600.0 * 3.0 * 2.0 / 9.0)) / (2.0 * M_PI * 1.5);
    z2 += std::pow((claim.value - truth) / claim.sigma, 2) / kRuns;
    off += (claim.value / truth - 1.0) / kRuns;
  }
  EXPECT_NEAR(off, 0.0, 0.04);  // here the power falls by a factor of 1.9 over the five rings
  EXPECT_GT(z2, 0.3);
  EXPECT_LT(z2, 2.6);
}

TEST(Halves, NoiseAloneClaimsNothingFine) {
  constexpr int kSize = 96;
  Rng rng(5);
  Plane<float> a(kSize, kSize), b(kSize, kSize), ones(kSize, kSize);
  for (std::size_t i = 0; i < a.count(); ++i) {
    a.samples()[i] = static_cast<float>(rng.normal());
    b.samples()[i] = static_cast<float>(rng.normal());
    ones.samples()[i] = 1.0F;
  }
  EXPECT_LT(resolved_frequency(pooled_for_claim(ring_correlation(a, b, ones)), 0.03).value, 0.06);
}

// Correlations that fall as the law says, with the scatter that so few values have: the crossing comes back within its
// error, and its scatter over seeds is no larger than stated.
TEST(FittedCrossing, IsFoundThroughTheScatterOfRings) {
  constexpr double kTrue = 0.12, kFall = 60.0, kLevel = 1.0 / 7.0;
  const double height = std::log(kLevel / (1.0 - kLevel));
  double square = 0.0, stated = 0.0, rough = 0.0;
  constexpr int kSeeds = 60;
  for (int seed = 0; seed < kSeeds; ++seed) {
    Rng rng(static_cast<std::uint64_t>(seed) + 1);
    RingCorrelation rings;
    for (int r = 0; r < 88; ++r) {
      const double f = r / 176.0;
      const double c = 1.0 / (1.0 + std::exp(kFall * (f - kTrue) - height));
      rings.frequency.push_back(f);
      rings.independent.push_back(std::max(1.0, 0.4 * r));
      rings.correlation.push_back(c + rng.normal() * (1.0 - c * c) / std::sqrt(2.0 * rings.independent.back()));
      rings.threshold.push_back(kLevel);
    }
    const double by_rings = resolved_frequency(rings).value;
    rough += std::pow(by_rings / kTrue - 1.0, 2) / kSeeds;
    const Measured<double> found = fitted_crossing(rings, kLevel, {0.11, 0.02});
    square += std::pow(found.value / kTrue - 1.0, 2) / kSeeds;
    stated += found.sigma / kTrue / kSeeds;
  }
  EXPECT_LT(std::sqrt(square), stated);
  EXPECT_LT(square, 0.7 * rough);
}

TEST(FittedCrossing, WhereNothingFallsTheFirstGuessStands) {
  RingCorrelation flat;
  for (int r = 0; r < 40; ++r) {
    flat.frequency.push_back(r / 80.0);
    flat.independent.push_back(10.0);
    flat.correlation.push_back(0.9);
    flat.threshold.push_back(0.5);
  }
  const Measured<double> found = fitted_crossing(flat, 0.5, {0.2, 0.01});
  EXPECT_EQ(found.value, 0.2);
  EXPECT_EQ(found.sigma, 0.01);
}

}  // namespace
}  // namespace halfarc
