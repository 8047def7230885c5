// Smoothing a picture, and what smoothing takes away from it.
#pragma once

#include "halfarc/frames/plane.h"

namespace halfarc {

// Gaussian smoothing with mirrored edges, sigma in pixels (exact kernel cut at 4 sigma). Valid: sigma > 0.
Plane<float> gaussian_smooth(View<const float> picture, double sigma);

// The picture less its own smooth copy: what is finer than about `sigma` pixels.
Plane<float> fine_detail(View<const float> picture, double sigma);

}  // namespace halfarc
