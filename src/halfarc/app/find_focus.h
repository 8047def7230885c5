// focus: best focus from clips taken at several positions of the knob.
//
// Positions are turns of the knob from a mark of the owner's choice, clockwise positive. The telescope (aperture,
// obstruction, scale, what a turn does) is the owner's rig, or that of the examples where there is none; what a turn
// does is then left to the clips.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "halfarc/app/rig.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/measure/focus_series.h"

namespace halfarc {

struct FocusAsk {
  std::filesystem::path clip;
  double position = 0.0;
  Approach approach = Approach::unsaid;
};

// "mars-3.ser@-0.25", or "mars-3.ser@-0.25cw" and "...ccw" where the owner tells how the position was arrived at.
// Errors (usage): no position, or not a number of turns between -100 and 100.
Result<FocusAsk> parse_focus_ask(std::string_view words);

struct FocusOptions {
  Rig rig;
  TrainSolution train;
  bool rig_known = false;           // the owner's, not that of the examples
  std::optional<PlateScale> scale;  // the owner's word against that of the rig
  Threads threads;
};

struct FoundFocus {
  std::vector<FocusAsk> asks;
  FocusSeries series;
  double tolerance = 0.0;  // turns to either side within which focus costs next to nothing: an eighth of a wave
  bool rig_known = false;
  bool knob_sense_known = false;
  Knob knob;

  // What is left to turn from the last clip, clockwise positive, and whether that is worth a hand: not when it is
  // within its own error or within the tolerance.
  Measured<double> to_turn() const;
  bool leave_alone() const;
  double arrived() const;  // which way the last clip's position was arrived at, clockwise +1; 0 where not told
};

// Errors: those of opening and reading; those of measure/focus_series.h; cancelled.
Result<FoundFocus> find_focus(std::vector<FocusAsk> asks, const FocusOptions& options, Progress& progress);

}  // namespace halfarc
