// The rig in the terms that readings need: the opening, the wavelength of the green plane, how the air draws it out,
// and the scale.
#pragma once

#include "halfarc/app/rig.h"
#include "halfarc/measure/clip_optics.h"

namespace halfarc {

ClipOptics clip_optics(const Rig& rig, const TrainSolution& train);

}  // namespace halfarc
