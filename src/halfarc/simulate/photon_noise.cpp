#include "halfarc/simulate/photon_noise.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

constexpr std::uint32_t kCertain = std::numeric_limits<std::uint32_t>::max();

// Cumulative Poisson probabilities as 32-bit thresholds, up to certainty.
std::vector<std::uint32_t> cumulative(double mean) {
  std::vector<std::uint32_t> thresholds;
  double probability = std::exp(-mean);
  double sum = 0.0;
  for (int k = 0;; ++k) {
    sum += probability;
    probability *= mean / (k + 1);
    const double scaled = std::floor(sum * 4294967296.0);
    if (scaled >= 4294967295.0 || (k > mean && probability < 1e-12)) {
      thresholds.push_back(kCertain);
      return thresholds;
    }
    thresholds.push_back(static_cast<std::uint32_t>(scaled));
  }
}

// Poisson number of a mean below 1/4 by inversion.
float few(float mean, std::uint32_t bits) {
  const float u = (static_cast<float>(bits >> 8) + 0.5F) * 0x1.0p-24F;
  float probability = 1.0F - mean * (1.0F - mean * (0.5F - mean * (1.0F / 6.0F - mean * (1.0F / 24.0F))));
  if (u < probability) return 0.0F;
  float sum = probability;
  float k = 0.0F;
  // Single precision leaves a sliver below certainty that no sum reaches: stop where counts no longer happen.
  while (u >= sum && probability > 3e-8F) {
    k += 1.0F;
    probability *= mean / k;
    sum += probability;
  }
  return k;
}

}  // namespace

PhotonNoise::PhotonNoise() {
  const int count = static_cast<int>(kLargestTabled) * kPerUnit;
  for (int i = 0; i < count; ++i) {
    const auto thresholds = cumulative(static_cast<double>(i) / kPerUnit);
    Table table;
    table.first = static_cast<std::uint32_t>(thresholds_.size());
    std::size_t k = 0;
    for (int g = 0; g < kGuide; ++g) {
      const std::uint32_t start = static_cast<std::uint32_t>(g) * (kCertain / kGuide + 1);
      while (thresholds[k] <= start && thresholds[k] != kCertain) ++k;
      table.guide[static_cast<std::size_t>(g)] = static_cast<std::uint8_t>(k);
    }
    thresholds_.insert(thresholds_.end(), thresholds.begin(), thresholds.end());
    tables_.push_back(table);
  }
  for (int i = 0; i <= kNormalBins; ++i) {
    const double p = std::clamp(static_cast<double>(i) / kNormalBins, 1e-12, 1.0 - 1e-12);
    quantiles_[static_cast<std::size_t>(i)] = static_cast<float>(normal_quantile(p));
  }
}

float PhotonNoise::normal(std::uint32_t bits) const {
  constexpr int shift = 21;  // 2^11 bins
  const std::uint32_t bin = bits >> shift;
  if (bin < kTailBins || bin >= kNormalBins - kTailBins) {
    return static_cast<float>(normal_quantile((static_cast<double>(bits) + 0.5) * 0x1.0p-32));
  }
  const float part = (static_cast<float>(bits & ((1U << shift) - 1)) + 0.5F) * (1.0F / (1U << shift));
  return quantiles_[bin] + part * (quantiles_[bin + 1] - quantiles_[bin]);
}

float PhotonNoise::poisson(float mean, FastBits& stream) const {
  if (!(mean > 0.0F)) return 0.0F;
  const std::uint64_t bits = stream.next();
  const auto first = static_cast<std::uint32_t>(bits >> 32);
  const auto second = static_cast<std::uint32_t>(bits);
  if (mean < kLargestTabled) {
    const auto index = static_cast<std::uint32_t>(mean * kPerUnit);
    const float rest = few(mean - static_cast<float>(index) * (1.0F / kPerUnit), second);
    const Table& table = tables_[index];
    const std::uint32_t* thresholds = thresholds_.data() + table.first;
    std::uint32_t k = table.guide[first >> 26];
    while (thresholds[k] <= first && thresholds[k] != kCertain) ++k;
    return static_cast<float>(k) + rest;
  }
  // Rounding adds 1/12 to the variance, so that much is left out before.
  const float z = normal(first);
  const float root = std::sqrt(mean - 1.0F / 12.0F);
  const float bent = z + (z * z - 1.0F) / (6.0F * root) + (z - z * z * z) / (72.0F * mean);
  return std::max(0.0F, std::floor(mean + root * bent + 0.5F));
}

}  // namespace halfarc
