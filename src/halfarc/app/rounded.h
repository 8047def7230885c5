// Rounded: numbers of a document, with no digits that mean nothing.
#pragma once

#include <cmath>

namespace halfarc {

// To so many decimals, and never minus nil. Valid: 0 to 12 decimals. Accuracy: exact.
inline double rounded(double value, int decimals) {
  const double scale = std::pow(10.0, decimals);
  const double r = std::round(value * scale) / scale;
  return r == 0.0 ? 0.0 : r;
}

}  // namespace halfarc
