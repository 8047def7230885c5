// Tube plume: how strong the warm air in the tube is for a mirror that is still warmer than the air before it.
//
// Racine's law says how wide a warm mirror makes a star (air/tube.h: 0.40" (dT / K)^1.2). The plume of simulate/plume.h
// is smooth, mostly second order; such a wavefront of rms s over a pupil of radius R has slopes of 4.9 s / R rms
// (defocus and astigmatism alike, up to the direction), 3.5 s / R along an axis, and a star as wide as 2.355 times
// those.
#pragma once

#include "halfarc/base/length.h"
#include "halfarc/base/temperature.h"
#include "halfarc/simulate/plume.h"

namespace halfarc {

// Strength in waves of `green`; nil for a mirror colder than the air; at most 2 waves. `up` is where up is on the
// image. Valid: 0 to 8 K. Accuracy: 50 %, that of the law. Source: [Racine1991] (from memory); slopes: [Noll1976].
PlumeSpec tube_plume(TemperatureDifference mirror_over_air, Length aperture, Length green, Angle up);

}  // namespace halfarc
