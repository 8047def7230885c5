// Logged turns: the owner's hand in a live rehearsal, as `halfarc turned` notes it in the logbook.
#pragma once

#include <filesystem>
#include <functional>

#include "halfarc/app/play_night.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/result.h"

namespace halfarc {

struct Patience {
  Duration first = Duration::minutes(3.0);  // for the first turn after a clip
  Duration more = Duration::s(6.0);         // for another one after the last
  Duration look = Duration::s(0.5);         // between two looks into the logbook
};

// Waits for so long. Errors: stopped as asked.
using Pause = std::function<Result<void>(Duration)>;

// After each clip: what is noted from then on, until nothing more comes; nothing when patience runs out. A turn of
// nothing ("halfarc turned focus 0") says that all is well, without waiting. What was noted before is left alone; so is
// a logbook that is not there yet.
// Errors, when asked: those of the logbook; a control that this program does not know; those of `pause`.
TurnSource turns_of_logbook(const std::filesystem::path& logbook, const Patience& patience, Pause pause);

}  // namespace halfarc
