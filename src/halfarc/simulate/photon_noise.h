// PhotonNoise: fast draws from the Poisson and normal distributions, for every sample of every frame.
//
// A Poisson number of mean m is drawn from one of two tables for the means just below and above m, the choice made at
// random so that the mean is exact; the tables lie so close (1/64 electron below 4, 1/8 below 64) that the variance is
// too (alias_tables.h). From m = 64 on, where tables would be long, a normal number is bent to the Poisson's skewness
// and kurtosis [Cornish1938] and rounded. A few nanoseconds a draw, against 20 and more of the exact sampler of
// base/random.h.
// Valid: mean 0 to 1e7 (below 0 and NaN: 0). Accuracy: mean exact, variance within 1e-3; chi-square against the exact
// probabilities not significant in 400 000 draws. Source: [Walker1977], [Cornish1938].
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

#include "halfarc/simulate/alias_tables.h"

namespace halfarc {

// A stream of 64-bit numbers that costs one nanosecond [Steele2014]; seed it from an Rng child for each row.
class FastBits {
 public:
  explicit FastBits(std::uint64_t seed) : state_(seed) {}
  std::uint64_t next() {
    std::uint64_t z = state_ += 0x9e3779b97f4a7c15ULL;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31);
  }

 private:
  std::uint64_t state_;
};

// The probabilities of 0, 1, 2 ... up to where nothing is left that 32 random bits could tell.
// Valid: 0 <= mean < 700. Accuracy: 1e-11. Source: the Poisson distribution.
std::vector<double> poisson_probabilities(double mean);

// The tables: made once (a few milliseconds), then only read, by any number of threads.
class PhotonNoise {
 public:
  PhotonNoise();

  // A Poisson number of the given mean.
  float poisson(float mean, FastBits& bits) const;
  // A normal number of mean 0 and variance 1, from 32 random bits.
  float normal(std::uint32_t bits) const;

 private:
  static constexpr float kFineUpTo = 4.0F;     // means below have tables every 1/64
  static constexpr float kCoarseUpTo = 64.0F;  // means below have tables every 1/8
  static constexpr float kFine = 64.0F;        // tables an electron
  static constexpr float kCoarse = 8.0F;
  static constexpr int kNormalBins = 2048;
  static constexpr int kTailBins = 4;  // at each end: computed, not looked up

  static float tail(std::uint32_t bits);  // the outermost normal numbers

  AliasTables tables_;  // fine ones from mean 0, then coarse ones from kFineUpTo
  std::array<float, kNormalBins + 1> quantiles_{};
};

// Inline, for they are called for every sample.

inline float PhotonNoise::normal(std::uint32_t bits) const {
  constexpr int shift = 21;  // 2^11 bins
  const std::uint32_t bin = bits >> shift;
  if (bin < kTailBins || bin >= kNormalBins - kTailBins) {
    return tail(bits);
  }
  const float part = (static_cast<float>(bits & ((1U << shift) - 1)) + 0.5F) * (1.0F / (1U << shift));
  return quantiles_[bin] + part * (quantiles_[bin + 1] - quantiles_[bin]);
}

inline float PhotonNoise::poisson(float mean, FastBits& stream) const {
  if (!(mean > 0.0F)) return 0.0F;
  const std::uint64_t bits = stream.next();
  const auto first = static_cast<std::uint32_t>(bits >> 32);
  const auto second = static_cast<std::uint32_t>(bits);
  if (mean < kCoarseUpTo) {
    // The table below or above, so chosen that the mean is right.
    const float chance = static_cast<float>(second >> 8) * 0x1.0p-24F;
    constexpr auto fine_tables = static_cast<std::uint32_t>(kFineUpTo * kFine) + 1;
    const std::uint32_t index = mean < kFineUpTo
                                    ? static_cast<std::uint32_t>(mean * kFine + chance)
                                    : fine_tables + static_cast<std::uint32_t>((mean - kFineUpTo) * kCoarse + chance);
    return static_cast<float>(static_cast<std::int32_t>(tables_.draw(index, first)));
  }
  // Rounding adds 1/12 to the variance, so that much is left out before.
  const float z = normal(first);
  const float root = std::sqrt(mean - 1.0F / 12.0F);
  const float bent = z + (z * z - 1.0F) / (6.0F * root) + (z - z * z * z) / (72.0F * mean);
  return static_cast<float>(static_cast<std::int32_t>(std::max(0.0F, mean + root * bent + 0.5F)));
}

}  // namespace halfarc
