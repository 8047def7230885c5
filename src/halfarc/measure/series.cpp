#include "halfarc/measure/series.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace halfarc {
namespace {

double products_at(std::span<const double> v, std::size_t lag) {
  double sum = 0.0;
  for (std::size_t i = lag; i < v.size(); ++i) sum += v[i] * v[i - lag];
  return sum;
}

}  // namespace

double long_run_square(std::span<const double> values) {
  constexpr double kMostInherited = 0.97;
  if (values.size() < 3) return values.empty() ? 0.0 : products_at(values, 0);
  const double squares = products_at(values, 0);
  if (!(squares > 0.0)) return 0.0;
  const double inherited = std::clamp(products_at(values, 1) / squares, 0.0, kMostInherited);
  std::vector<double> fresh;
  for (std::size_t i = 1; i < values.size(); ++i) fresh.push_back(values[i] - inherited * values[i - 1]);

  const std::size_t n = fresh.size();
  const auto reach = static_cast<std::size_t>(std::lround(std::sqrt(static_cast<double>(n))));
  double total = products_at(fresh, 0);
  for (std::size_t lag = 1; lag <= std::min(reach, n - 1); ++lag) {
    total += 2.0 * (1.0 - static_cast<double>(lag) / static_cast<double>(reach + 1)) * products_at(fresh, lag);
  }
  const double share = static_cast<double>(n + 1) / static_cast<double>(n);
  return std::max(total, 0.0) * share / ((1.0 - inherited) * (1.0 - inherited));
}

double error_square(std::span<const double> values) {
  if (values.empty()) return 0.0;
  return (1.05 + 3.3 / std::sqrt(static_cast<double>(values.size()))) * long_run_square(values);
}

}  // namespace halfarc
