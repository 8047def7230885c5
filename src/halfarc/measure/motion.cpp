#include "halfarc/measure/motion.h"

#include <algorithm>
#include <cmath>

#include "halfarc/measure/series.h"
#include "halfarc/measure/time_line.h"

namespace halfarc {
namespace {

constexpr std::size_t kFewest = 10;

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

Measured<double> rms_of(const std::vector<double>& left) {
  const auto n = static_cast<double>(left.size());
  double mean_square = 0.0;
  for (const double v : left) mean_square += v * v / (n - 2.0);
  std::vector<double> u(left.size());
  for (std::size_t i = 0; i < left.size(); ++i) u[i] = left[i] * left[i] - mean_square;
  const double rms = std::sqrt(mean_square);
  const double of_square = std::sqrt(error_square(u)) / n;
  return {rms, rms > 0.0 ? of_square / (2.0 * rms) : 0.0};
}

// The difference between the medians of the `half` values before and from i on.
std::vector<double> jumps(const std::vector<double>& v, std::size_t half) {
  std::vector<double> out(v.size(), 0.0);
  for (std::size_t i = half; i + half <= v.size(); ++i) {
    const auto at = v.begin() + static_cast<std::ptrdiff_t>(i);
    const auto reach = static_cast<std::ptrdiff_t>(half);
    out[i] = median({at, at + reach}) - median({at - reach, at});
  }
  return out;
}

// Steps stand far above the usual difference between neighbouring stretches, and above the motion from frame to frame.
std::vector<std::size_t> find_steps(const std::vector<double>& x, const std::vector<double>& y) {
  const std::size_t half = std::clamp<std::size_t>(x.size() / 40, 5, 25);
  if (x.size() < 4 * half) return {};
  const auto jx = jumps(x, half), jy = jumps(y, half);
  std::vector<double> size(x.size());
  for (std::size_t i = 0; i < x.size(); ++i) size[i] = std::hypot(jx[i], jy[i]);
  const double usual =
      median({size.begin() + static_cast<std::ptrdiff_t>(half), size.end() - static_cast<std::ptrdiff_t>(half)});
  const double least = std::max(2.0, 8.0 * usual);
  std::vector<std::size_t> steps;
  for (std::size_t i = half; i + half <= x.size(); ++i) {
    if (size[i] < least) continue;
    const std::size_t from = i - half, to = std::min(size.size(), i + half + 1);
    const auto top = std::max_element(size.begin() + static_cast<std::ptrdiff_t>(from),
                                      size.begin() + static_cast<std::ptrdiff_t>(to));
    if (static_cast<std::size_t>(top - size.begin()) == i && (steps.empty() || i - steps.back() > half))
      steps.push_back(i);
  }
  return steps;
}

}  // namespace

std::optional<Motion> motion_of(const RecordingIndex& index, std::span<const double> times) {
  std::vector<double> t, x, y;
  std::vector<std::size_t> number;
  for (std::size_t i = 0; i < index.frames.size() && i < times.size(); ++i) {
    if (!index.frames[i].found) continue;
    t.push_back(times[i]);
    x.push_back(index.frames[i].centroid.x);
    y.push_back(index.frames[i].centroid.y);
    number.push_back(i);
  }
  if (t.size() < kFewest) return std::nullopt;
  const auto [first, last] = std::minmax_element(t.begin(), t.end());
  if (!(*last > *first)) return std::nullopt;

  Motion motion;
  motion.span = Duration::s(*last - *first);
  const std::size_t half = std::clamp<std::size_t>(x.size() / 40, 5, 25);
  for (const std::size_t i : find_steps(x, y)) {
    const PixelOffset by{jumps(x, half)[i], jumps(y, half)[i]};
    motion.steps.push_back({number[i], by});
    for (std::size_t k = i; k < x.size(); ++k) {
      x[k] -= by.x;
      y[k] -= by.y;
    }
  }
  const TimeLine along_x = fit_time_line(t, x), along_y = fit_time_line(t, y);
  motion.drift_x = along_x.slope;
  motion.drift_y = along_y.slope;
  motion.rms_x = rms_of(along_x.left);
  motion.rms_y = rms_of(along_y.left);
  return motion;
}

}  // namespace halfarc
