// Frame times as a recording gives them, and whether they can be believed.
#pragma once

#include <cstdint>
#include <optional>

#include "halfarc/base/utc.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

// Between 1990 and 2200. A camera program that does not know the time writes zero or its epoch.
bool is_plausible(Utc time);

// A count of 100 ns since 0001-01-01; nothing outside the range of Utc.
std::optional<Utc> utc_from_ticks(std::int64_t ticks);

// Examines info.times, which holds one time a frame. Times that cannot be believed are dropped; whatever is odd
// becomes a note. Times that run backwards here and there are kept as they were written: the clock audit wants them.
void examine_times(RecordingInfo& info);

}  // namespace halfarc
