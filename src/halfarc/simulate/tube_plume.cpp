#include "halfarc/simulate/tube_plume.h"

#include <algorithm>
#include <cmath>

#include "halfarc/air/tube.h"

namespace halfarc {

PlumeSpec tube_plume(TemperatureDifference mirror_over_air, Length aperture, Length green, Angle up) {
  constexpr double kMost = 2.0;
  constexpr double kFwhmPerSigma = 2.3548;
  // W = s sqrt(3) (2 r^2 - 1): slope 4 sqrt(3) s r / R, whose mean square over the disc is 24 (s / R)^2.
  const double slope_along_an_axis = std::sqrt(24.0 / 2.0);
  const Length rms =
      aperture / 2.0 * (mirror_seeing(mirror_over_air).value.rad() / (kFwhmPerSigma * slope_along_an_axis));
  PlumeSpec plume;
  plume.rms_waves = std::min(rms / green, kMost);
  plume.up = up;
  return plume;
}

}  // namespace halfarc
