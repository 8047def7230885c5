// PlaceDisc: where a planet's globe lies on a stacked picture, for bringing pictures of a turning globe together.
//
// The disc fit (measure/disc_fit.h) says it where the disc is a plain one. A crescent, a gibbous disc or a globe within
// its ring is placed by the centroid of its light instead, and its radius is the one expected: such a place may lie
// beside the true centre, but by the same little way on every picture, which is what matters here.
#pragma once

#include <optional>

#include "halfarc/base/angle.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/pixel.h"
#include "halfarc/frames/plane.h"

namespace halfarc {

struct PlacedDisc {
  PixelPoint centre;
  double equatorial_radius = 0.0;       // pixels
  std::optional<Measured<Angle>> axis;  // one end of the shorter axis, clockwise from up; nothing when it is round
  double darkening = 0.6;               // of the limb, linear
  double blur = 2.0;                    // sigma, pixels
  bool fitted = false;                  // by the disc fit
};

// `ringed`: the longer axis of the light is the ring's, not the globe's. Valid: a body alone on dark sky.
// Accuracy: fitted: as measure/disc_fit.h; else the same on pictures of the same scene within a tenth of a pixel.
std::optional<PlacedDisc> place_disc(View<const float> picture, double expected_radius, bool ringed);

}  // namespace halfarc
