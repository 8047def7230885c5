// FrameClock: which exposures reach the file, and what time is written beside them.
//
// The camera exposes at an even pace; a computer that is busy loses some frames, often several in a row, and notes the
// time of the others a little early or late.
#pragma once

#include <cstddef>
#include <vector>

#include "halfarc/base/duration.h"
#include "halfarc/base/random.h"

namespace halfarc {

struct FrameClock {
  double dropped = 0.0;        // share of the exposures that are lost
  double lost_in_a_row = 1.0;  // mean length of a gap, in frames
  Duration jitter;             // rms of the time written
};

// The numbers of the exposures that become frames, in order. The first always does.
// Valid: dropped 0 to 0.9, lost_in_a_row >= 1. Accuracy: exact in the mean. Source: a chain of two states.
std::vector<std::size_t> exposures_kept(const FrameClock& clock, std::size_t frames, Rng rng);

// What is added to the time of an exposure: normal, but never half the way to the next, so that times stay in order.
Duration clock_error(const FrameClock& clock, Duration interval, Rng rng);

}  // namespace halfarc
