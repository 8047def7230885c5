#include "halfarc/simulate/alias_tables.h"

#include <algorithm>
#include <cmath>

namespace halfarc {

AliasTables::AliasTables(const std::vector<std::vector<double>>& probabilities, std::uint32_t first) {
  std::size_t longest = 0;
  for (const auto& p : probabilities) longest = std::max(longest, p.size());
  while ((std::size_t{1} << slot_bits_) < longest) ++slot_bits_;
  slots_.reserve(probabilities.size() << slot_bits_);
  for (const auto& p : probabilities) add(p, first);
}

// Vose's way of making Walker's table: slots short of their share are filled up by those that have too much.
void AliasTables::add(std::vector<double> share, std::uint32_t first) {
  const std::size_t count = std::size_t{1} << slot_bits_;
  share.resize(count, 0.0);
  for (double& s : share) s *= static_cast<double>(count);
  const std::size_t first_slot = slots_.size();
  slots_.resize(first_slot + count);
  std::vector<std::size_t> poor;
  std::vector<std::size_t> rich;
  for (std::size_t k = 0; k < count; ++k) (share[k] < 1.0 ? poor : rich).push_back(k);
  const double whole = std::ldexp(1.0, static_cast<int>(32 - slot_bits_));
  const auto fill = [&](std::size_t slot, double own_share, std::size_t other) {
    const double threshold = std::min(own_share * whole, whole);
    slots_[first_slot + slot] = {static_cast<std::uint32_t>(threshold), static_cast<std::uint16_t>(first + slot),
                                 static_cast<std::uint16_t>(first + other)};
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

}  // namespace halfarc
