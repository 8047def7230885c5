// Live pace: a rehearsal in real time, as it would go at the telescope.
#pragma once

#include "halfarc/app/logged_turns.h"
#include "halfarc/app/simulate_recording.h"
#include "halfarc/base/progress.h"

namespace halfarc {

// Holds each frame back until the time it would take at the telescope has passed, `pace` times as fast.
// Valid: pace > 0.
BeforeFrame real_pace(double pace);

// Waits in real time, and looks up now and then whether it is asked to stop. `progress` must outlive it.
Pause real_pause(const Progress& progress);

}  // namespace halfarc
