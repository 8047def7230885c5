// TurnMoment: when a turn is taken to have been made, so that it stands between the clip it answers and the next.
#pragma once

#include "halfarc/app/owner_log.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"

namespace halfarc {

// `now`, unless the clock of the recordings is another one: a simulated night, or a camera's computer that is an hour
// off. Then it is right behind the newest recording that was read, by that recording's own clock; advice goes by the
// order of clips and turns, and two clocks would tear it.
// Valid: the hand answers the clip that was read last, within half an hour of its closing; else `now`.
// Errors: those of the file.
Result<Utc> moment_of_turn(const OwnerLog& log, Utc now);

}  // namespace halfarc
