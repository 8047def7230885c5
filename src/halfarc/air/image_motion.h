// Image motion and exposure: how much of the image's dance a frame freezes, and how much smears it.
//
// One frozen layer blows past at the speed of the wind. An exposure of length T averages the slope of the wavefront
// over the length v T of it: slow motion is left to shift the whole frame (and is undone by alignment), fast motion
// blurs the frame itself. The two add up, in squares, to the motion of an instant.
#pragma once

#include "halfarc/air/turbulence.h"
#include "halfarc/base/angle.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/length.h"
#include "halfarc/base/speed.h"

namespace halfarc {

// Along one axis, rms, for the centroid of the image, in the mean over all directions of the wind:
// l^2 / 2 times the integral of f^2 P(f) [2 J1(pi D f) / (pi D f)]^2 S(pi v T f) over the plane, where S is the mean of
// sinc^2 over directions; and the same with 1 - S. Very long exposures keep a share ~ (D / v T)^(1/3) of the variance.
// Valid: one layer, full disc, any exposure; either law of turbulence. Accuracy: 0.1 %. Source: [Roddier1981] for the
// spectrum, [Tokovinin2002] for the gradient tilt, [Martin1987] for the averaging.
Angle averaged_motion_rms(const Turbulence& air, Length aperture, Duration exposure, Speed wind);
Angle smearing_motion_rms(const Turbulence& air, Length aperture, Duration exposure, Speed wind);

}  // namespace halfarc
