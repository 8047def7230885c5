// Night script: our scenario, as a list of steps: what is done, why, and what is recorded.
//
// A beginner's evening with a telescope of the class of the default rig: it is not given time to cool, a screw is
// turned too far, the knob the wrong way, the planet is over-exposed, the corrector is rolled, a clock is an hour off,
// frames are lost; each is put right in the end. Bodies stand where they stood on that date.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "halfarc/advise/control.h"
#include "halfarc/app/hidden_rig.h"
#include "halfarc/app/hidden_shot.h"
#include "halfarc/base/utc.h"

namespace halfarc {

// What a recording is for. A practice lets its owner answer with turns before the night goes on.
enum class Purpose { cooling, collimation, finding, camera_angle, exposure, colours, focus_series, run };

struct Wait {
  double minutes = 0.0;
};
struct PointAt {
  NightTarget target;
};
struct PutIn {
  std::string part;  // of the owner's rig, by its name; put back where it belongs
};
struct Expose {
  double peak = 0.75;
};
struct Mend {
  Mending what = Mending::centre;
  double share = 1.0;
};
struct Record {
  std::string name;  // of the file, behind number and time
  Purpose purpose = Purpose::cooling;
  int width = 160;  // pixels of 3.45 um
  int height = 160;
  bool centred = true;    // the target is brought to the middle first, should it have left the inner half of the frame
  bool practice = false;  // the owner may answer
  bool key_up = false;    // the key `up` is held in its middle
  FrameClock clock{};
  Duration clock_wrong_by{};
};

// Whose hand a turn or a mending is: that of a practising owner takes the place of the script's own, but for what the
// script does itself.
enum class Hand { owner, script };

struct NightStep {
  std::string says;  // what is done and why, one line
  std::variant<Wait, PointAt, PutIn, Expose, Turned, Mend, Record> deed;
  Hand hand = Hand::owner;
};

struct NightScript {
  Utc out;                                    // when the telescope is carried out
  std::vector<std::string> at_first_without;  // parts of the rig that are put in later
  std::vector<NightStep> steps;
};

// From cooling to the last run.
NightScript whole_night();

// Its beginning, until the star is collimated: a short practice.
NightScript collimation_only();

// A cooled telescope with the whole train, on Jupiter: levers and roll; and the focus series, the colours set.
NightScript colours_only();
NightScript focus_only();

}  // namespace halfarc
