// Starlet transform: a picture as a sum of details of growing size (the "a trous" B3-spline wavelet).
//
// The picture is smoothed again and again with the kernel (1 4 6 4 1)/16, its taps 1, 2, 4, ... pixels apart; each
// difference of neighbours holds the detail of about 2, 4, 8, ... pixels. Adding all details and the last smooth
// picture gives the picture back exactly. White noise of unit variance leaves a known standard deviation in each
// detail, which is how noise is told from structure.
// Source: [Starck2006] Starck & Murtagh, Astronomical Image and Data Analysis, 2nd ed.
#pragma once

#include <cstdint>
#include <vector>

#include "halfarc/frames/plane.h"

namespace halfarc {

struct Starlet {
  std::vector<Plane<float>> details;  // finest first
  Plane<float> smooth;
};

// Valid: 1 <= scales <= 8; edges mirror. Accuracy: exact reconstruction to float rounding.
Starlet starlet(View<const float> picture, int scales);

// Standard deviation that white noise of unit variance leaves in detail `scale` (0 = finest), computed as the norm of
// the equivalent filter. Valid: 0 <= scale <= 7.
double starlet_noise(int scale);

// The noise of a picture (standard deviation per pixel if it were white), from the median absolute value of its finest
// detail within `where` (all of it if empty): structure hardly reaches that scale. Source: [Starck2006].
double noise_from_finest_detail(View<const float> picture, View<const std::uint8_t> where = {});

}  // namespace halfarc
