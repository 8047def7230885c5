// Fading: how fast the light of what a clip shows falls or grows.
//
// Extinction changes a target's light by a few per cent an hour. What falls ten times as fast is thin cloud, or dew on
// the front glass, and no later care brings that light back.
#pragma once

#include <optional>
#include <span>

#include "halfarc/base/measured.h"
#include "halfarc/measure/index.h"

namespace halfarc {

struct Fading {
  Measured<double> per_hour;  // of the logarithm of the light; negative: it falls

  // Whether it falls clearly (four standard errors) and by more than half in 80 minutes. The bound is common practice.
  bool alarming() const { return per_hour.value < -0.5 && per_hour.value < -4.0 * per_hour.sigma; }
};

// A straight line through the logarithms of the frames' light. `times` holds seconds of every frame from any zero.
// Nothing from fewer than 100 frames with an object, or less than 5 s. Accuracy: 0.2 an hour from 10 s of a planet;
// z-scores of unit variance within 30 % (tests/measure/fading_test.cpp). What drifts out of the frame fades, too.
std::optional<Fading> fading_of(const RecordingIndex& index, std::span<const double> times);

}  // namespace halfarc
