#include "halfarc/air/aligned_exposures.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace halfarc {
namespace {

constexpr std::size_t kStrengths = 13;
constexpr std::size_t kFrequencies = 21;  // x = 0, 0.05, 0.10, ... 1
constexpr double kStep = 0.05;

using Table = std::array<std::array<double, kFrequencies>, kStrengths>;

constexpr std::array<double, kStrengths> kDOverR0 = {0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 8.0, 10.0};

// The transfer of the mean for each share kept, then the spectral ratio of all.
constexpr std::array<double, 5> kKept = {1.0, 0.5, 0.2, 0.1, 0.05};
constexpr std::array<Table, kKept.size() + 1> kTables = {{
#include "air/aligned_exposures.inc"
}};

// Linear in x and in ln(D/r0).
double interpolate(const Table& table, double d_over_r0, double x) {
  const double strength = std::clamp(d_over_r0, kDOverR0.front(), kDOverR0.back());
  const auto above = std::upper_bound(kDOverR0.begin() + 1, kDOverR0.end() - 1, strength);
  const std::size_t row = static_cast<std::size_t>(above - kDOverR0.begin()) - 1;
  const double across = std::log(strength / kDOverR0[row]) / std::log(kDOverR0[row + 1] / kDOverR0[row]);
  const double place = std::clamp(x, 0.0, 1.0) / kStep;
  const std::size_t column = std::min(static_cast<std::size_t>(place), kFrequencies - 2);
  const double along = place - static_cast<double>(column);
  const auto at = [&](std::size_t r) { return table[r][column] + along * (table[r][column + 1] - table[r][column]); };
  return at(row) + across * (at(row + 1) - at(row));
}

}  // namespace

double aligned_mean_transfer(double d_over_r0, double x, double kept) {
  const double share = std::clamp(kept, kKept.back(), kKept.front());
  std::size_t more = 0;
  while (more + 2 < kKept.size() && share < kKept[more + 1]) ++more;
  const double down = std::log(kKept[more] / share) / std::log(kKept[more] / kKept[more + 1]);
  const double of_more = interpolate(kTables[more], d_over_r0, x);
  return of_more + down * (interpolate(kTables[more + 1], d_over_r0, x) - of_more);
}

double aligned_spectral_ratio(double d_over_r0, double x) { return interpolate(kTables.back(), d_over_r0, x); }

}  // namespace halfarc
