#include "halfarc/measure/series.h"

#include <algorithm>
#include <cmath>

namespace halfarc {

double long_run_square(std::span<const double> values) {
  const std::size_t n = values.size();
  if (n == 0) return 0.0;
  const auto reach = static_cast<std::size_t>(std::lround(1.5 * std::sqrt(static_cast<double>(n))));
  double total = 0.0;
  for (const double v : values) total += v * v;
  for (std::size_t lag = 1; lag <= std::min(reach, n - 1); ++lag) {
    double products = 0.0;
    for (std::size_t i = lag; i < n; ++i) products += values[i] * values[i - lag];
    total += 2.0 * (1.0 - static_cast<double>(lag) / static_cast<double>(reach + 1)) * products;
  }
  return std::max(total, 0.0);
}

}  // namespace halfarc
