#include "halfarc/simulate/dew.h"

#include <cmath>
#include <numbers>

namespace halfarc {

Veil veil_at(const DewSpec& dew, Duration t) {
  const Duration since = t - dew.begins;
  if (since.s() <= 0.0) return {};
  const double grown = 1.0 - std::exp(-(since / dew.growing));
  return {1.0 - dew.loss * grown, dew.scattered * grown};
}

double halo_light(Angle halo, Angle distance) {
  const double s = halo.rad();
  return s / (2.0 * std::numbers::pi * std::pow(s * s + distance.rad() * distance.rad(), 1.5));
}

}  // namespace halfarc
