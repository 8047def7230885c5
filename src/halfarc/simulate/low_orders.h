// LowOrders: a smooth wavefront over the pupil by its first Zernike polynomials.
//
// Metres of path rms over the full disc, for the polynomials 2 (tilt along x) to 11 (spherical aberration) as numbered
// in [Noll1976]. What changes slowly in a telescope is of this kind: focus, coma, the plume in the tube, and motion
// within an exposure, which is a tilt.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>

#include "halfarc/base/angle.h"
#include "halfarc/base/length.h"
#include "halfarc/base/pixel.h"
#include "halfarc/optics/pupil.h"

namespace halfarc {

struct LowOrders {
  static constexpr int kFirst = 2;
  static constexpr int kLast = 11;
  std::array<double, kLast - kFirst + 1> rms_m{};

  double& noll(int j) { return rms_m[static_cast<std::size_t>(j - kFirst)]; }
  double noll(int j) const { return rms_m[static_cast<std::size_t>(j - kFirst)]; }

  friend LowOrders operator+(LowOrders a, const LowOrders& b) {
    for (std::size_t i = 0; i < a.rms_m.size(); ++i) a.rms_m[i] += b.rms_m[i];
    return a;
  }
};

// The tilt that moves an image: a slope a over the pupil is a D / 4 rms. Valid: any. Accuracy: exact.
inline LowOrders tilt_of(const SkyOffset& image, Length diameter) {
  LowOrders tilt;
  tilt.noll(2) = image.x.rad() * diameter.m() / 4.0;
  tilt.noll(3) = image.y.rad() * diameter.m() / 4.0;
  return tilt;
}

// The rms over the full disc of all but the tilts. Valid: any. Accuracy: exact.
inline Length rms_without_tilt(const LowOrders& w) {
  double sum = 0.0;
  for (int j = 4; j <= LowOrders::kLast; ++j) sum += w.noll(j) * w.noll(j);
  return Length::m(std::sqrt(sum));
}

}  // namespace halfarc
