// Time line: a straight line through values that follow each other in time and hang together.
#pragma once

#include <span>
#include <vector>

#include "halfarc/base/measured.h"

namespace halfarc {

struct TimeLine {
  double middle = 0.0, at = 0.0;  // the mean time, and the line's value there
  Measured<double> slope;
  std::vector<double> left;  // value less line
};

// By least squares; the error takes the correlation of what is left into account (measure/series.h).
// Valid: three values or more, not all at one time.
TimeLine fit_time_line(std::span<const double> times, std::span<const double> values);

}  // namespace halfarc
