// Knob: the focus knob: how far and which way, with the slack of the thread built in, ending with the mirror pushed up.
//
// Three numbers: what is left to turn (clockwise positive), the waves at the edge that a turn makes, and the slack. A
// series of clips through focus tells the first outright. A single star out of focus tells its size but not on which
// side it stands, so both are kept in mind; a turn and another look decide, and teach the waves a turn as well.
#pragma once

#include <array>
#include <optional>
#include <span>

#include "halfarc/advise/advice.h"
#include "halfarc/advise/belief.h"
#include "halfarc/advise/gain.h"
#include "halfarc/advise/history.h"
#include "halfarc/optics/telescope.h"

namespace halfarc {

// What is known of the response, from the rig at first: how a turn moves focus, and the slack after turning back.
struct KnobResponse {
  Measured<double> waves_per_turn;  // its size, at the edge
  Measured<double> backlash;        // turns
};
// A pitch from a maker's leaflet or from memory is good to 30 %, slack to half of itself and 0.02 turns (common
// practice). Valid: waves_per_turn > 0.
KnobResponse expected_response(const Knob& knob, double waves_per_turn);

// What is left, waves a turn, slack: if turning clockwise mends, and if not. A size read without its sign may lie on
// either side again, near focus; what a series or a sign says settles it.
struct KnobState {
  std::array<Belief, 2> beliefs;
  std::array<double, 2> weight{0.5, 0.5};
  double arrived = 0.0;  // which way the knob was turned last, clockwise +1; 0 is not known
  bool read = false;

  const Belief& likelier() const { return beliefs[weight[1] > weight[0] ? 1 : 0]; }
  bool side_known() const;  // four in five
  KnobResponse response() const;
};

// All readings of focus, defocus, waves a turn and slack, and turns of the knob. In between focus drifts by 0.2 waves
// in an hour, and with a slew by 0.2 waves as the mirror settles; a hand is good to 0.003 of a turn (a degree) and a
// thirtieth of what it turns (common practice). Valid: events in order of time.
KnobState follow_knob(const KnobResponse& before, std::span<const Event> events);

// What the hand does so that the knob arrives at best focus by a motion in the sense `end`: one turn, or one past the
// place and one back through the slack (`past` is a quarter turn and the slack; common practice). `left` counts from
// where the knob stands and would arrive by the sense `arrived`; where that is not known (0) it is taken to be `end`,
// and where `end` is not wanted (0), `arrived`, or straight there. All senses and turns clockwise positive.
struct KnobMotion {
  double first = 0.0, back = 0.0;
};
KnobMotion knob_motion(double left, double arrived, double end, double slack);

// Which way the mirror is pushed up, where that is known: 1, -1 or 0.
double skyward_sense(const Knob& knob, bool sense_known);

// Thousandths of a turn. Where the knob's sense is known the last motion pushes the mirror up, so that its slack lies
// on one side; else the knob arrives as it did last. While the side of focus is not known: a test turn of half the way
// and the slack. Valid: a state that was read.
Advice advise_knob(const Knob& knob, bool sense_known, const KnobState& state, const ContrastCurve& curve);

}  // namespace halfarc
