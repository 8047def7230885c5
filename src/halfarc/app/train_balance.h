// TrainBalance: what a part that is put in or taken out does to the balance of the tube, and how far it throws the
// target out of the field.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "halfarc/app/reason.h"
#include "halfarc/app/rig.h"
#include "halfarc/optics/pointing_offset.h"

namespace halfarc {

struct ChangedBalance {
  double moment_newton_m = 0.0;  // added at the rear, tube level
  Length slide;                  // forward, of a weight of one kilogram
  PointingJump jump;             // of the target
  std::string words;
};

// Nothing when the mass of a part that came, went or moved is not known. Reasons are added under "change/".
// Valid, Accuracy, Source: as optics/balance.h and optics/pointing_offset.h.
std::optional<ChangedBalance> changed_balance(const Rig& before, const Rig& after, const PointingResponse& known,
                                              std::vector<Reason>& why);

}  // namespace halfarc
