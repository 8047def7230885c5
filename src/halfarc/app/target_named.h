// Target named: what a recording says it shows: the object in its header, else a word of its file's name, as camera
// programs put it there.
#pragma once

#include <optional>

#include "halfarc/frames/recording.h"
#include "halfarc/sky/body.h"

namespace halfarc {

// The Moon or a planet named in full; never the Sun. Valid: any recording.
std::optional<sky::Body> target_named(const RecordingInfo& info);

}  // namespace halfarc
