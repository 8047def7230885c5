#include "halfarc/optics/sampling.h"

#include <algorithm>
#include <numbers>

namespace halfarc {
namespace {

// Half the distance, in cycles a pixel, to the nearest point of the lattice's reciprocal.
double nyquist(Sites sites) {
  switch (sites) {
    case Sites::every:
      return 0.5;
    case Sites::diagonal:
      return 0.25 * std::numbers::sqrt2;
    case Sites::every_second:
      return 0.25;
  }
  return 0.5;
}

}  // namespace

Sampling sampling(Length pixel, Sites sites, Length wavelength, double focal_ratio) {
  const double per_resolution = wavelength * focal_ratio / pixel;
  const double finest = nyquist(sites);
  return {per_resolution, 1.0 / per_resolution, finest, 1.0 / per_resolution <= finest};
}

double critical_focal_ratio(Length pixel, Sites sites, Length wavelength) {
  return pixel / wavelength / nyquist(sites);
}

AmplificationRange useful_amplification(Length pixel, const std::array<Length, 3>& wavelengths, double focal_ratio) {
  constexpr std::array<Sites, 3> kMosaic = {Sites::every_second, Sites::diagonal, Sites::every_second};
  AmplificationRange range{0.0, 0.0};
  for (std::size_t colour = 0; colour < 3; ++colour) {
    const Length wavelength = wavelengths[colour];
    range.least = std::max(range.least, critical_focal_ratio(pixel, Sites::every, wavelength) / focal_ratio);
    range.most = std::max(range.most, critical_focal_ratio(pixel, kMosaic[colour], wavelength) / focal_ratio);
  }
  return range;
}

}  // namespace halfarc
