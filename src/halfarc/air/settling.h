// Settling: when the mirror will be near enough to the air before it, or why it never will.
//
// A mirror follows falling air at a distance: rate of the fall times its time constant. If that lag is more than is
// allowed, waiting does not help; a fan shortens the time constant, a wrap slows the fall of the air in the tube.
#pragma once

#include <optional>

#include "halfarc/air/tube.h"

namespace halfarc {

struct Settling {
  enum class Verdict {
    settles,       // `after` so long, and stays so to the end of the span
    falling_air,   // never: the lag alone is more than allowed; fan or wrap it
    cold_tube,     // never: the night sky keeps the tube below the mirror (thin walls, open cell); wrap it
    needs_longer,  // it is still coming down when the span is over
  };
  Verdict verdict = Verdict::settles;
  std::optional<Duration> after;   // from the start of the span
  TemperatureDifference residual;  // mirror over tube air at the end of the span
  TemperatureDifference lag;       // what the fall of the air over the second half of the span keeps up for ever
};

// The mirror's lag behind air that falls steadily (kelvin per hour, positive while falling): rate times time constant,
// the time constant being that at the lag itself.
// Valid: any rate; rising air gives a negative lag. Accuracy: as tube_heat. Source: [Incropera2007], chapter 5.
TemperatureDifference lag_behind(const TubeHeat& heat, TemperatureDifference fall_per_hour);

// Valid: spans of a night; `within` above nil. Accuracy: a quarter of the time told, from the tube's constants; less
// after with_time_constant.
Settling settle(const TubeHeat& heat, const TubeState& start, const Outside& outside, TemperatureDifference within,
                Duration from, Duration span);

}  // namespace halfarc
