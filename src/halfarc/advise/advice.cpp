#include "halfarc/advise/advice.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfarc {

std::vector<Advice> ranked(std::vector<Advice> advice) {
  std::stable_sort(advice.begin(), advice.end(), [](const Advice& a, const Advice& b) {
    if (a.leave_alone() != b.leave_alone()) return b.leave_alone();
    return !a.leave_alone() && a.gain.value > b.gain.value;
  });
  return advice;
}

bool go_and_record(const std::vector<Advice>& advice) {
  return !advice.empty() && std::all_of(advice.begin(), advice.end(), [](const Advice& a) { return a.leave_alone(); });
}

std::string gain_words(const Measured<double>& gain) {
  if (gain.value >= 1.0) return fmt::format("makes half-arc detail {:.1f} times as strong", 1.0 + gain.value);
  return fmt::format("gains half-arc detail {:.0f} ± {:.0f} % of contrast", std::max(1.0, 100.0 * gain.value),
                     std::max(1.0, 100.0 * gain.sigma));
}

std::string measured_words(const Measured<double>& m) {
  const int decimals = m.sigma > 0.0 ? std::clamp(1 - static_cast<int>(std::floor(std::log10(m.sigma))), 0, 3) : 2;
  return fmt::format("{:.{}f} ± {:.{}f}", m.value, decimals, m.sigma, decimals);
}

std::string towards_words(PixelOffset step) {
  const int hour = (static_cast<int>(std::lround(direction_of(step).deg() / 30.0)) + 11) % 12 + 1;
  return fmt::format("towards {} o'clock on the picture", hour);
}

}  // namespace halfarc
