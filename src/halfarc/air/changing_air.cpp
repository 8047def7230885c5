#include "halfarc/air/changing_air.h"

#include <cmath>
#include <cstddef>

namespace halfarc {
namespace {

constexpr double kShortest = 0.5, kLongest = 60.0, kStep = 1.03;  // intervals

double instants_alike(double apart) { return std::exp(-std::pow(std::abs(apart), 5.0 / 3.0)); }

}  // namespace

double exposures_alike(double apart, double exposure) {
  constexpr int kSteps = 24;
  double sum = 0.0, weight = 0.0;
  for (int i = -kSteps; i <= kSteps; ++i) {
    const double u = static_cast<double>(i) / kSteps;
    sum += (1.0 - std::abs(u)) * instants_alike(apart + u * exposure);
    weight += 1.0 - std::abs(u);
  }
  return sum / weight;
}

std::optional<double> nearest_lifetime(std::span<const double> differing, double exposure) {
  if (differing.empty() || !(differing[0] > 0.0)) return std::nullopt;
  double best = kShortest, least = 1e300;
  for (double tau = kShortest; tau < kLongest; tau *= kStep) {
    const double of_one = exposures_alike(0.0, exposure / tau);
    double left = 0.0;
    for (std::size_t k = 1; k < differing.size(); ++k) {
      const double model = exposures_alike(static_cast<double>(k) / tau, exposure / tau) / of_one;
      left += std::pow(differing[k] / differing[0] - model, 2);
    }
    if (left < least) {
      least = left;
      best = tau;
    }
  }
  return best;
}

std::optional<double> lifetime_of_differences(std::span<const double> differing, double exposure) {
  const auto nearest = nearest_lifetime(differing, exposure);
  return nearest && *nearest < kNothingShared ? std::nullopt : nearest;
}

}  // namespace halfarc
