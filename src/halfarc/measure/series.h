// Series: sums over measurements that follow each other in time and hang together.
#pragma once

#include <span>

namespace halfarc {

// An estimate of the variance of the sum of a series of mean zero: products over all lags up to 1.5 sqrt(n), with
// weights that fall to zero there (never negative) [NeweyWest1987]. For independent values it is the sum of squares.
// Valid: correlation over much less than 1.5 sqrt(n) values.
double long_run_square(std::span<const double> values);

}  // namespace halfarc
