// SolveTrain: what the owner's train does, what a part that is put in or taken out changes, and what it all means for
// one target at one moment. The use case behind `halfarc train`.
//
// Every number of the answer is written down twice, as a plain value and as a Reason (app/reason.h).
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "halfarc/app/reason.h"
#include "halfarc/app/rig.h"
#include "halfarc/app/train_balance.h"
#include "halfarc/app/train_target.h"
#include "halfarc/base/result.h"
#include "halfarc/optics/focus_depth.h"
#include "halfarc/optics/sampling.h"

namespace halfarc {

struct TrainRequest {
  Rig rig;
  std::vector<std::string> remove;  // names of parts; taken out before anything is put in
  std::vector<std::string> add;     // "kind=spacer,length_mm=20"; with "at=2" or "at=camera" before that part
  std::optional<TrainTarget> target;
  PointingResponse pointing = {};  // how far a change of moment throws the target, as far as it is learned
};

// One colour plane and what its sites hold of it.
struct PlaneSampling {
  std::string plane;  // "red", "green", "blue"; "mono" of a camera without a mosaic
  Length wavelength;  // the mean of its light
  Sampling frame;     // one frame, by the sites of this colour
  Sampling stack;     // frames that wandered over the sensor
};

// What the change asks of the hand, and gives.
struct AskedChange {
  std::string part;  // "amplifier out, ring in"
  TrainChange optics;
  std::string direction;  // of the knob: "clockwise", "counter-clockwise", or where the focus goes when unknown
  std::string words;
  std::optional<ChangedBalance> balance;  // nothing when a mass is not known
};

struct TrainAnswer {
  TrainRequest asked;
  Rig rig;  // with the changes
  TrainSolution train;
  PlateScale scale;
  std::vector<PlaneSampling> sampling;  // red, green, blue, or mono alone
  Angle field_width;
  Angle field_height;
  double light_factor = 1.0;  // on each mm^2 of the sensor, against the bare telescope at prime focus
  FocusDepth focus;           // to a quarter wave in green
  std::optional<AskedChange> change;
  std::optional<TrainAtTarget> target;
  std::vector<Reason> why;
  std::vector<std::string> cautions;
};

// Takes parts out of a rig by their names and then puts parts in, both as in TrainRequest; gives what that is called:
// "amplifier out, ring in". Errors: words that cannot be read; a name that is not there, or is there already.
Result<std::string> change_parts(Rig& rig, std::span<const std::string> remove, std::span<const std::string> add);

// Errors: a part's words that cannot be read, a name that is not there, a train that cannot be solved; a target below
// the horizon (bad input) or too near the Sun (refused).
// Valid, Accuracy, Source: as optics/train.h, optics/focus_depth.h, optics/sampling.h; app/train_target.h.
Result<TrainAnswer> solve_train(const TrainRequest& request);

}  // namespace halfarc
