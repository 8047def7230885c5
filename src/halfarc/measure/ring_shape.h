// Ring shape: the two edges of a star far out of focus, measured on the picture itself; nothing is assumed of the
// telescope.
//
// About the ring's middle the mean of all frames is cut into sectors. In each, the outer edge is where the brightness,
// coming from outside, first reaches half of the sector's highest, and the inner edge where it falls to half way
// between the highest and the hole. A circle goes through either, by least squares. Standard
// errors come from the scatter of stretches of the clip, each measured by itself.
//
// Half heights lie where a sharp edge was before the blur, as long as the blur is narrow against the ring.
#pragma once

#include <optional>
#include <span>

#include "halfarc/base/measured.h"
#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"
#include "halfarc/measure/aligned_mean.h"
#include "halfarc/measure/index.h"

namespace halfarc {

struct RingShape {
  Measured<double> outer_diameter, inner_diameter;  // pixels
  // From the centre of the outer circle to the centre of the hole, as a share of the outer diameter.
  Measured<double> hole_x, hole_y;
};

// Valid: a hollow star (measure/kind.h), the hole wider than the blur; 40 frames or more. Nothing when a ring cannot be
// followed three quarters of the way round. Accuracy: z-scores of unit variance within 30 %; diameters also read low or
// high by up to a fifth of the blur's width, and a hole reads small by up to half the width of its blur
// (tests/measure/ring_shape_test.cpp). Errors: those of reading.
Result<std::optional<RingShape>> ring_shape(const Recording& recording, const RecordingIndex& index);

}  // namespace halfarc
