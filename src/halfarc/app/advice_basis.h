// AdviceBasis of a rig: what the owner's rig.toml says to advice (advise/night_advice.h).
#pragma once

#include "halfarc/advise/night_advice.h"
#include "halfarc/app/rig.h"

namespace halfarc {

// Levers take the colours of sunlight; what hours to come ask of them is left out.
// Valid: a train that was solved. Accuracy: that of the rig's figures, which turns then better.
AdviceBasis advice_basis(const Rig& rig, const TrainSolution& train);

}  // namespace halfarc
