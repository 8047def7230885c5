#include "halfarc/simulate/photon_noise.h"

#include <algorithm>
#include <cmath>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

// Poisson probabilities of 0, 1, 2 ... up to where nothing is left that 32 bits could tell.
std::vector<double> probabilities(double mean) {
  std::vector<double> result;
  double probability = std::exp(-mean);
  for (int k = 0; k < mean || probability > 1e-11; ++k) {
    result.push_back(probability);
    probability *= mean / (k + 1);
  }
  return result;
}

}  // namespace

// Vose's way of making Walker's table: slots short of their share are filled up by those that have too much.
void PhotonNoise::add_table(double mean) {
  std::vector<double> share = probabilities(mean);
  std::uint32_t bits = 1;
  while ((std::size_t{1} << bits) < share.size()) ++bits;
  const std::size_t count = std::size_t{1} << bits;
  share.resize(count, 0.0);
  for (double& s : share) s *= static_cast<double>(count);
  const auto first = static_cast<std::uint32_t>(slots_.size());
  tables_.push_back({first, bits});
  slots_.resize(slots_.size() + count);
  std::vector<std::size_t> poor;
  std::vector<std::size_t> rich;
  for (std::size_t k = 0; k < count; ++k) (share[k] < 1.0 ? poor : rich).push_back(k);
  const double whole = std::ldexp(1.0, static_cast<int>(32 - bits));  // thresholds are for the bits below the slot's
  const auto fill = [&](std::size_t slot, double own_share, std::size_t other) {
    const double threshold = std::min(own_share * whole, whole);
    slots_[first + slot] = {static_cast<std::uint32_t>(threshold), static_cast<std::uint16_t>(slot),
                            static_cast<std::uint16_t>(other)};
  };
  while (!poor.empty() && !rich.empty()) {
    const std::size_t p = poor.back();
    const std::size_t r = rich.back();
    poor.pop_back();
    fill(p, share[p], r);
    share[r] -= 1.0 - share[p];
    if (share[r] < 1.0) {
      rich.pop_back();
      poor.push_back(r);
    }
  }
  // What is left is full but for rounding.
  for (const auto& list : {poor, rich}) {
    for (const std::size_t k : list) fill(k, 1.0, k);
  }
}

PhotonNoise::PhotonNoise() {
  const int fine = static_cast<int>(kFineUpTo * kFine);
  const int coarse = static_cast<int>((kCoarseUpTo - kFineUpTo) * kCoarse);
  for (int i = 0; i <= fine; ++i) add_table(static_cast<double>(i) / static_cast<double>(kFine));
  for (int i = 0; i <= coarse; ++i) {
    add_table(static_cast<double>(kFineUpTo) + static_cast<double>(i) / static_cast<double>(kCoarse));
  }
  for (int i = 0; i <= kNormalBins; ++i) {
    const double p = std::clamp(static_cast<double>(i) / kNormalBins, 1e-12, 1.0 - 1e-12);
    quantiles_[static_cast<std::size_t>(i)] = static_cast<float>(normal_quantile(p));
  }
}

float PhotonNoise::tail(std::uint32_t bits) {
  return static_cast<float>(normal_quantile((static_cast<double>(bits) + 0.5) * 0x1.0p-32));
}

}  // namespace halfarc
