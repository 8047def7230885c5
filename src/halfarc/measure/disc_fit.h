// Disc fit: where a planet's disc lies, how large, how flat and how blurred it is, each with its standard error.
//
// The model is an oblate, limb-darkened, fully lit disc under a Gaussian blur on an even background
// (measure/blurred_disc.h), fitted to a plane by damped least squares with derivatives in closed form. Standard errors
// come from what is left over: the covariance of the fit is taken with the residuals found, not with a noise assumed,
// and where residuals hang together (markings, a blur that is no Gaussian) over patches of a blur's size it grows
// accordingly. What they cannot show is a bias that acts alike around the whole limb: a phase, a ring.
#pragma once

#include <optional>
#include <string>

#include "halfarc/base/angle.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/pixel.h"
#include "halfarc/base/result.h"
#include "halfarc/frames/plane.h"

namespace halfarc {

// Samples with their weights and the exact places where they were taken. A mean of aligned frames has gaps (weight 0)
// where no sample of a colour fell, and its cells hold samples taken a little beside their centres.
struct SamplePlane {
  Plane<float> value;     // ADU
  Plane<float> weight;    // number of samples; 0: none
  Plane<float> beside_x;  // mean place of the samples of a cell less the cell's centre, pixels; empty: none
  Plane<float> beside_y;
};

struct DiscGuess {
  PixelPoint centre;
  double diameter = 0.0;    // pixels
  double background = 0.0;  // ADU
  double level = 0.0;       // ADU above background
};

struct DiscFit {
  Measured<double> x, y;                 // centre, pixels of the plane
  Measured<double> equatorial_diameter;  // pixels
  Measured<double> flattening;           // 1 - polar / equatorial
  Measured<Angle> pole_angle;            // on the image, clockwise from up, in [-90, 90) deg; a round disc has none
  Measured<double> blur;                 // sigma of the blur, pixels, the pixel's own width included
  Measured<double> darkening;            // k; held near 0.5 +- 0.5 where the data say little
  Measured<double> level;                // ADU above background at the centre of the sharp disc
  double background = 0.0;               // ADU
  double residual = 0.0;                 // rms of what is left over, one sample, ADU
  double explained = 0.0;                // share of the variance that the disc explains

  // Why this is not the disc of a planet, in plain words; nothing when it is one.
  std::optional<std::string> doubt;

  PixelPoint centre() const { return {x.value, y.value}; }
};

// Valid: diameters of 6 to 1000 pixels; the guess within half a diameter and a factor of 1.6.
// Accuracy: unbiased to a tenth of its standard error on discs that follow the model, z-scores of unit variance within
// 35 % (tested by scatter over seeds).
// Errors (bad input): fewer samples than the model has parameters.
Result<DiscFit> fit_disc(const SamplePlane& plane, const DiscGuess& guess, Threads threads = {});

}  // namespace halfarc
