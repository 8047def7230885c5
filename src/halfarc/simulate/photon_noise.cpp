#include "halfarc/simulate/photon_noise.h"

#include <algorithm>
#include <cmath>

#include "halfarc/base/random.h"

namespace halfarc {

std::vector<double> poisson_probabilities(double mean) {
  std::vector<double> result;
  double probability = std::exp(-mean);
  for (int k = 0; k < mean || probability > 1e-11; ++k) {
    result.push_back(probability);
    probability *= mean / (k + 1);
  }
  return result;
}

PhotonNoise::PhotonNoise() {
  std::vector<std::vector<double>> means;
  const int fine = static_cast<int>(kFineUpTo * kFine);
  const int coarse = static_cast<int>((kCoarseUpTo - kFineUpTo) * kCoarse);
  for (int i = 0; i <= fine; ++i) means.push_back(poisson_probabilities(i / static_cast<double>(kFine)));
  for (int i = 0; i <= coarse; ++i) {
    means.push_back(poisson_probabilities(static_cast<double>(kFineUpTo) + i / static_cast<double>(kCoarse)));
  }
  tables_ = AliasTables(means);
  for (int i = 0; i <= kNormalBins; ++i) {
    const double p = std::clamp(static_cast<double>(i) / kNormalBins, 1e-12, 1.0 - 1e-12);
    quantiles_[static_cast<std::size_t>(i)] = static_cast<float>(normal_quantile(p));
  }
}

float PhotonNoise::tail(std::uint32_t bits) {
  return static_cast<float>(normal_quantile((static_cast<double>(bits) + 0.5) * 0x1.0p-32));
}

}  // namespace halfarc
