// ClipAdvice: joins what a clip says to what the hand should do about it (advise/night_advice.h), with the owner's rig.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "halfarc/advise/night_advice.h"
#include "halfarc/app/check_clip.h"
#include "halfarc/app/find_focus.h"
#include "halfarc/app/rig.h"

namespace halfarc {

// What a clip says that advice can use: coma of a star, and, where the target is known, the split of red and blue. A
// ring says nothing of focus: it is out of focus to collimate by. `zenith` is that of an earlier clip; where none told
// how the camera is turned, it is taken to lie where a levelled corrector has it, within 10 degrees.
std::vector<Reading> advice_readings(const ClipCheck& check, const Rig& rig,
                                     const std::optional<Measured<Angle>>& zenith = {});

// Of a series through focus, when it is trustworthy: what is left to turn, waves a turn, backlash.
std::vector<Reading> advice_readings(const FoundFocus& found, Utc utc);

// What is known before the clip, of this night and of the responses.
struct Tonight {
  History history;
  Responses responses;
  std::optional<Measured<Angle>> zenith = {};  // where it lay on the image in the last clip that told
};

// Advice of clip and night together; only of what this clip or series read.
// Errors: those of advise/history.h.
Result<NightAdvice> clip_advice(const Rig& rig, const TrainSolution& train, const ClipCheck& check,
                                const Tonight& tonight = {});
Result<NightAdvice> focus_advice(const Rig& rig, const TrainSolution& train, const FoundFocus& found, Utc utc,
                                 const Tonight& tonight = {});

// For CheckOptions::advise. Advice that cannot be given is left out: a clip is never refused for it.
ClipAdviser clip_adviser(Rig rig, TrainSolution train, Tonight tonight = {});

// The list `advice` of documents, one entry a turn: [{control, turn, unit, direction, sigma, gain, gain_sigma, test,
// words}]; what is to be left alone has a turn of nil and no direction.
std::string advice_list_json(std::span<const Advice> advice);

}  // namespace halfarc
