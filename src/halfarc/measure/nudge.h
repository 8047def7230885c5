// Nudge: how far and which way the object went while a key of the handset was pressed during a clip.
//
// The track is a level, a ramp while the key was down, and another level, with a steady drift on top of all. Beginning
// and end of the ramp are those that leave least; what is left about it, hanging together in time as the air makes it
// (measure/series.h), gives the errors.
#pragma once

#include <optional>
#include <span>

#include "halfarc/base/angle.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/pixel.h"
#include "halfarc/measure/index.h"

namespace halfarc {

struct KeyMotion {
  Measured<double> x, y;      // displacement, pixels
  Measured<Angle> direction;  // in which the object went, clockwise from up on the image
  Duration begins, lasts;     // from the first frame on
};

// `times` as in motion.h. Nothing when no ramp stands out: less than 3 pixels or 6 sigma.
// Valid: one key pressed once, for less than half of the clip. Accuracy: direction within 30 % of its sigma in z-scores
// (tested by scatter over seeds).
std::optional<KeyMotion> find_nudge(const RecordingIndex& index, std::span<const double> times);

}  // namespace halfarc
