// Series: sums over measurements that follow each other in time and hang together.
#pragma once

#include <span>

namespace halfarc {

// An estimate of the variance of the sum of a series of mean zero, its values hanging together in time. What each value
// inherits from the one before is taken off first (lag-one correlation, between 0 and 0.97), the products of the rest
// are summed over lags up to sqrt(n) with weights that fall to zero there [NeweyWest1987], and the inheritance is put
// back [AndrewsMonahan1992]. For independent values it is the sum of squares. Never negative. Valid: correlation over
// much less than n values.
double long_run_square(std::span<const double> values);

// The square of the standard error of that sum where the mean, or a line, was taken off the values first: that leaves
// the estimate too small, and it is known to few degrees of freedom only, so that errors would seem too sure. It is
// grown by 1.05 + 3.3 / sqrt(n), found on series of noise: squared z-scores of their means are then 1.0 within 0.1
// where values do not hang together, and up to 1.3 where they do over a twentieth of the series
// (tests/measure/series_test.cpp).
double error_square(std::span<const double> values);

}  // namespace halfarc
