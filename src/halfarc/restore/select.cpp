#include "halfarc/restore/select.h"

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

double information(const SiteSums& sums, double frames_kept) {
  const SiteSums::RingPowers rings = sums.rings();
  double bits = 0.0;
  for (std::size_t r = 1; r < rings.frequency.size(); ++r) {
    const double signal = std::max(0.0, rings.coherent[r]);
    const double noise = (rings.noisy[r] - rings.coherent[r]) / frames_kept;
    if (noise > 0.0) bits += rings.population[r] * std::log2(1.0 + signal / noise);
  }
  return bits;
}

}  // namespace

KeptFraction most_informative_fraction(std::span<const SiteSums> graded, std::size_t all_frames) {
  KeptFraction result;
  SiteSums sums;
  double best = -1.0;
  for (std::size_t slice = 0; slice < graded.size(); ++slice) {
    sums += graded[slice];
    if (sums.frames() < 2) continue;
    const double fraction = static_cast<double>(slice + 1) / static_cast<double>(graded.size());
    const double bits = information(sums, fraction * static_cast<double>(all_frames));
    result.tried.push_back(fraction);
    result.bits.push_back(bits);
    if (bits > best) {
      best = bits;
      result.fraction = fraction;
    }
  }
  return result;
}

}  // namespace halfarc
