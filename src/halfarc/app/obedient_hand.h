// ObedientHand: an owner who does what the advice says, and nothing else: the player of the rehearsal's game by which
// halfarc's own advice is judged (bench/closed_loop.cpp).
//
// It sees what an owner sees: the recordings, read as `halfarc check` and `halfarc focus` read them with the owner's
// rig and place, and what it turned before. The truth of a clip is not looked at.
#pragma once

#include <vector>

#include "halfarc/app/clip_advice.h"
#include "halfarc/app/find_focus.h"
#include "halfarc/app/play_night.h"
#include "halfarc/app/rig.h"
#include "halfarc/sky/site.h"

namespace halfarc {

struct ObedientHand {
  Rig rig;  // with the train as it is screwed together
  TrainSolution train;
  sky::Site site;
  Threads threads;
  Tonight tonight{};               // what it has read and turned
  std::vector<FocusAsk> series{};  // the clips through focus so far

  // The turns that the advice asks for: those with the greatest gain, of levers and roll both; none when all is to be
  // left alone, and none after a clip that is no practice. Of a focus series the whole is read after its last clip.
  // Errors: those of check_clip, find_focus and the advice.
  Result<std::vector<Turned>> after(const PlayedClip& clip);
};

// For PlayOptions::turns, with every clip asked, in a night with one train.
TurnSource turns_of(ObedientHand hand);

}  // namespace halfarc
