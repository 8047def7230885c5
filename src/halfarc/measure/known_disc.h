// Known disc: place, size and turn of a planet's disc whose shape the ephemeris tells.
//
// What is known need not be fitted: flattening and phase are held, so a phase no longer shrinks the disc and belts no
// longer flatten it, and what is left is the place, one size (hence the scale), the pole's direction and the blur. The
// blur's wings are fitted too: under a Gaussian the wings that air and telescope throw would be taken for a smaller,
// softer disc. Brightness is the sum of two laws of scattered light, and along the limb it may vary with a few
// harmonics, so belts, caps and maria do not pull the size. Standard errors come from the residuals as in disc_fit.h.
#pragma once

#include <optional>
#include <string>

#include "halfarc/base/angle.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/pixel.h"
#include "halfarc/base/result.h"
#include "halfarc/measure/disc_fit.h"
#include "halfarc/measure/shaped_disc.h"

namespace halfarc {

struct KnownDisc {
  Measured<double> x, y;      // centre of the whole globe, pixels of the plane
  Measured<double> diameter;  // equatorial, pixels
  // The north pole on the image, clockwise from up, in [0, 360); nothing when neither flattening, phase nor ring shows,
  // or two directions fit alike.
  std::optional<Measured<Angle>> pole;
  bool half_turn_known = false;  // else the pole may as well be the south pole
  Measured<double> blur;         // sigma, pixels; without the pixel's own width and the telescope's where it is known
  Measured<double> blur_form;    // t or p of shaped_disc.h
  double explained = 0.0;        // share of the variance near the limb
  std::optional<std::string> doubt;

  PixelPoint centre() const { return {x.value, y.value}; }
};

struct KnownDiscStart {
  PixelPoint centre;
  double diameter = 0.0;  // equatorial, pixels
  double blur = 2.0;      // pixels
  double background = 0.0;
  double level = 0.0;
  bool mirrored = false;
  std::optional<ClipOptics> optics;  // of the owner's telescope, its scale only roughly right
  PixelOffset smear{};               // with `optics`: how dispersion draws the plane out, a standard deviation, pixels
};

// A start from the free fit, whose diameter is of the lit part's outline.
KnownDiscStart start_from(const DiscFit& fit);
// A start from the light's second moments, for a disc with a ring, which no free fit can read.
KnownDiscStart start_from_moments(const SamplePlane& plane, const DiscShape& shape, const DiscGuess& guess);

// Valid: diameters of 12 to 1000 pixels, the start within 15 %.
// Accuracy: the diameter within 0.5 % for a banded giant in seeing of 2", 0.7 % for a ringed one, 3 % for a ruddy disc of
// 8"; stated errors hold that (accuracy/disc_scale.cpp).
// Errors (bad input): too few samples.
Result<KnownDisc> fit_known_disc(const SamplePlane& plane, const DiscShape& shape, const KnownDiscStart& start,
                                 Threads threads = {});

}  // namespace halfarc
