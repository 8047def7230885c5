// How near a finished image comes to the truth that only a simulation knows.
//
// Each plane is first laid on its own truth (the scene as a perfect telescope of the aperture shows it). Then:
//   - detail correlation: Pearson correlation of image and truth inside the disc and away from the limb, after each has
//     lost its own Gaussian-smoothed copy (sigma 1.3 arcsec);
//   - half-correlation period: the period at which the ring-by-ring Fourier correlation of both, over the softly masked
//     disc, first stays below one half, and no less than the finest period that the telescope passes;
//   - colour offset: how far red and blue lie from green, each against its own truth.
#pragma once

#include <array>
#include <span>

#include "halfarc/base/angle.h"
#include "halfarc/base/pixel.h"
#include "halfarc/frames/plane.h"

namespace halfarc {

struct PlaneComparison {
  double detail_correlation = 0.0;
  Angle half_correlation_period;
  PixelOffset shift;  // of the image against the truth
};

// `scene` is the bare scene (its bright part is the disc), `finest` the period of the telescope's cut-off. All pictures
// of one size. Valid: discs wider than 5 arcsec.
PlaneComparison compare_plane(View<const float> image, View<const float> truth, View<const float> scene,
                              PlateScale scale, Angle finest);

}  // namespace halfarc
