// ObedientHand: an owner who does what the advice says, and nothing else: the player of the rehearsal's game by which
// halfarc's own advice is judged (bench/closed_loop.cpp).
//
// It sees what an owner sees: the recording, read as `halfarc check` reads it with the owner's rig, and what it turned
// before. The truth of the clip is not looked at.
#pragma once

#include "halfarc/app/play_night.h"
#include "halfarc/app/rig.h"

namespace halfarc {

// For PlayOptions::turns, for a practice with one train. After each clip the advice with the greatest gain is done,
// until all is to be left alone. Errors: those of check_clip and of the advice.
TurnSource obedient_hand(Rig rig, TrainSolution train, Threads threads);

}  // namespace halfarc
