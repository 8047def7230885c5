// LoggedAdviser: advice with the whole night in it: what was read and turned before the clip, and what earlier nights
// taught, from the owner's logbook. Without a logbook the clip speaks for itself.
#pragma once

#include <filesystem>

#include "halfarc/app/check_clip.h"
#include "halfarc/app/clip_advice.h"
#include "halfarc/app/owner_log.h"

namespace halfarc {

// What the logbook holds of the night of `at` from before that instant, and what was known before that night.
// Errors: those of the file.
Result<Tonight> tonight_before(const OwnerLog& log, Utc at);

// For CheckOptions::advise. The logbook is read anew for each clip; one that cannot be read is done without, since it
// is said when the clip is written into it.
ClipAdviser logged_adviser(std::filesystem::path home, Rig rig, TrainSolution train);

// Writes what the night of `at` has taught so far into the logbook. Errors: those of the file and of advise().
Result<void> learn_tonight(OwnerLog& log, const Rig& rig, const TrainSolution& train, Utc at);

}  // namespace halfarc
