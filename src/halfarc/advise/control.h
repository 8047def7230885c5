// Control: something a hand turns, pushes or waits for, and how far, as people say it: "1/16 cw", "-3.5 marks".
//
// Amounts count in the control's own unit, positive one way: clockwise for knob, screws and roll, towards higher marks
// for levers. Clockwise is as the hand sees it: facing the knob, facing the head of the screw (from in front of the
// telescope), and for the roll from behind the camera, looking towards the sky.
//
// The collimation screws are a, b, c in clockwise order seen from in front of the telescope; which is a is the owner's
// to choose (a dot of paint). Nothing else about them need be known: a before and an after teach the rest.
#pragma once

#include <array>
#include <string>
#include <string_view>

#include "halfarc/base/result.h"

namespace halfarc {

enum class Control {
  focus,    // turns of the focus knob
  levers,   // marks, both levers by the same
  roll,     // degrees, the corrector about the axis
  screw_a,  // turns
  screw_b,
  screw_c,
  altitude,  // seconds of the handset's up key; down is negative
  azimuth,   // seconds of the handset's right key; left is negative
  spacing,   // millimetres added between amplifier and camera
  exposure,  // milliseconds more
  cooling,   // minutes of waiting
};

inline constexpr std::array every_control{
    Control::focus,    Control::levers,  Control::roll,    Control::screw_a,  Control::screw_b, Control::screw_c,
    Control::altitude, Control::azimuth, Control::spacing, Control::exposure, Control::cooling,
};

// "focus", "levers", "roll", "screw-a" ..., as typed after `halfarc turned` and as documents name it.
std::string_view name_of(Control control);

// "turn", "mark", "deg", "s", "mm", "ms" or "min".
std::string_view unit_of(Control control);

// Whether "cw" and "ccw" make sense of it.
bool turns_about(Control control);

// The control of that name. Errors: unknown name (wrong value), with the names that exist.
Result<Control> control_named(std::string_view name);

// What the hand did to one control.
struct Turned {
  Control control = Control::focus;
  double amount = 0.0;  // in unit_of(control)

  friend constexpr bool operator==(const Turned&, const Turned&) = default;
};

// An amount as typed: a number or a fraction ("1/16", "1 1/4", "-3.5", "0.25"), then perhaps the unit (singular or
// plural), then perhaps cw, ccw, clockwise, anticlockwise, up, down, left, right. A sign and a direction together are
// refused, as is a direction or unit that the control does not have.
// Errors: an amount that cannot be understood (bad input), with an example for that control.
Result<Turned> parse_turned(Control control, std::string_view amount);

// "1/16 turn clockwise", "3.5 marks up", "4 deg clockwise", "0.18 turn counter-clockwise": 64ths of a turn, and
// what is within a hundredth of a turn of a sixteenth, as a fraction. Accuracy: as printed, three significant digits.
std::string in_words(const Turned& turned);

}  // namespace halfarc
