// Motion: how the object wanders over the sensor during a recording, from the centroids of its index.
//
// A straight line through the centroids is the drift, what is left about it the rms motion. Air and mount move an
// object slowly compared with a frame, so neighbouring frames say nearly the same and counting frames would make the
// errors far too small:
// both errors take the correlation of the residuals over time into account (measure/series.h).
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "halfarc/base/duration.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/pixel.h"
#include "halfarc/measure/index.h"

namespace halfarc {

struct Step {             // a sudden move: the mount was nudged, a gear slipped
  std::size_t frame = 0;  // first frame after it
  PixelOffset by;
};

struct Motion {
  Measured<double> drift_x, drift_y;  // pixels per second
  Measured<double> rms_x, rms_y;      // pixels, about the drift and without the steps
  std::vector<Step> steps;            // ascending
  Duration span;                      // from the first to the last frame used
};

// `times` holds seconds of every frame from any zero. Nothing when fewer than 10 frames show an object, or all at one
// time. Accuracy: z-scores of drift and rms of unit variance within 30 % for motion that hangs together over a
// hundredth of the recording (tested by scatter over seeds).
std::optional<Motion> motion_of(const RecordingIndex& index, std::span<const double> times);

}  // namespace halfarc
