// What the dispersion corrector leaves inside a colour plane.
//
// Air and glass spread colours differently: towards blue the pull of a crown rises a little less steeply than the air's
// lift, that of a flint far more. So a setting that brings red and blue together leaves the colours between them a
// little off, the secondary spectrum, and the best setting for one colour plane is not that for another. All places are
// on the sky, along the zenith of the image and to the right of it; `air` is how high each colour is lifted, in
// arcseconds, from any zero.
#pragma once

#include "halfarc/base/angle.h"
#include "halfarc/base/spectral_curve.h"
#include "halfarc/optics/prism_pair.h"

namespace halfarc {

// Where a plane's light falls: its centre and its standard deviation, weighted with how much each colour counts.
struct Spread {
  Angle centre;
  Angle width;
};

// Valid: a weight of positive area. Accuracy: the trapezium rule on 5 nm. Source: definition.
Spread spread_of(const SpectralCurve& arcsec, const SpectralCurve& weight);

// Where the corrector puts each colour, in arcseconds on the sky along a direction on the image.
// Valid, accuracy: as `image_shift`.
SpectralCurve shift_curve(const PrismPair& pair, Levers levers, const CorrectorPlace& place, Angle towards);

// What air and corrector together leave of a colour plane. `weight` is passband, response and spectrum multiplied.
// Valid, accuracy: as `image_shift`, `spread_of`.
struct PlaneLeft {
  Spread along;
  Spread across;
  double together = 0.0;  // correlation of where light falls along and across, -1 to 1
};
PlaneLeft plane_left(const PrismPair& pair, Levers levers, const CorrectorPlace& place, Angle zenith,
                     const SpectralCurve& air, const SpectralCurve& weight);

// Where both levers must stand for the light of `weight` to fall closest together along the roll: the pull whose
// curve, by weighted least squares, comes nearest to the air's. `reach` and `left` are widths (standard deviations):
// of the most air that the scale cancels, and of what is left over of the air's with the levers there.
// Valid: a weight that holds more than one colour. Accuracy: as `image_shift`. Source: least squares.
LeverSetting marks_for(const PrismPair& pair, const CorrectorPlace& place, const SpectralCurve& air,
                       const SpectralCurve& weight);

// Where both levers must stand for the centres of two planes, blue and red, to fall together along the roll. `reach` is
// the most of the air's difference that the scale cancels, `left` what is left over of it.
// Valid: planes whose light differs. Accuracy: as `image_shift`. Source: pulls go with the sine of the lever.
LeverSetting marks_for(const PrismPair& pair, const CorrectorPlace& place, const SpectralCurve& air,
                       const SpectralCurve& red, const SpectralCurve& blue);

}  // namespace halfarc
