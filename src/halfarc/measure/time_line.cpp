#include "halfarc/measure/time_line.h"

#include <cmath>

#include "halfarc/measure/series.h"

namespace halfarc {

TimeLine fit_time_line(std::span<const double> times, std::span<const double> values) {
  const auto n = static_cast<double>(times.size());
  TimeLine line;
  for (std::size_t i = 0; i < times.size(); ++i) {
    line.middle += times[i] / n;
    line.at += values[i] / n;
  }
  double tt = 0.0, tv = 0.0;
  for (std::size_t i = 0; i < times.size(); ++i) {
    tt += (times[i] - line.middle) * (times[i] - line.middle);
    tv += (times[i] - line.middle) * (values[i] - line.at);
  }
  line.slope.value = tv / tt;
  std::vector<double> pulls(times.size());
  line.left.resize(times.size());
  for (std::size_t i = 0; i < times.size(); ++i) {
    line.left[i] = values[i] - line.at - line.slope.value * (times[i] - line.middle);
    pulls[i] = (times[i] - line.middle) * line.left[i];
  }
  // Most of a slope hangs on the two ends, a third of the series: its error is known by that much less.
  constexpr double kEnds = 1.1;
  line.slope.sigma = std::sqrt(kEnds * error_square(pulls) * n / (n - 2.0)) / tt;
  return line;
}

}  // namespace halfarc
