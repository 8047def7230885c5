// History: what one night's clips said and what the hand did between them, as plain values in order of time.
//
// It is all that advice is made of (advise/advice.h): no files, no clock. A logbook fills it; a page may.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "halfarc/advise/control.h"
#include "halfarc/base/angle.h"
#include "halfarc/base/pixel.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"

namespace halfarc {

// What a reading says, and in which unit. Readings of one number leave y nil.
enum class Reads {
  coma,            // x right, y down on the image, the way its flare points: waves at the edge
  colours,         // how far blue lies from red: x to the right of the zenith, y towards it: arcseconds
  focus,           // what is left to turn from where the knob stands, clockwise positive: turns
  defocus,         // waves at the edge; where its sign is known, positive when clockwise turning mends it
  waves_per_turn,  // of the knob, its size: waves at the edge a turn
  backlash,        // of the knob: turns
};

// The covariance of x and y, in the square of their unit.
struct Scatter {
  double xx = 0.0, xy = 0.0, yy = 0.0;

  friend constexpr bool operator==(const Scatter&, const Scatter&) = default;
};

struct Reading {
  Utc utc;  // the middle of the clip
  Reads what = Reads::coma;
  double x = 0.0, y = 0.0;
  Scatter scatter;
  bool sign_known = true;         // of defocus: false when the picture tells only its size
  double arrived = 0.0;           // of focus: which way the knob was turned last, clockwise +1; 0 is not known
  std::optional<Angle> air = {};  // of colours: how much higher the air alone puts blue than red, at that hour
  std::string target = {};        // what was looked at; another one means that the telescope was slewed

  friend bool operator==(const Reading&, const Reading&) = default;
};

struct Turn {
  Utc utc;  // when the hand was done
  Turned turned;

  friend constexpr bool operator==(const Turn&, const Turn&) = default;
};

struct History {
  std::vector<Reading> readings;  // in any order
  std::vector<Turn> turns;
};

// A reading of the colours from offsets along the image's axes (x right, y down), where the zenith lies in the given
// direction on the image, clockwise from up. Valid: any. Accuracy: exact (a rotation).
Reading colours_reading(Utc utc, SkyOffset blue_minus_red, const Scatter& arcsec2, Angle zenith);

// Readings and turns in one list by time; of the same instant, the reading came first.
// Errors (bad input): a number that is none; a covariance that is none (negative, or x and y more than fully bound).
using Event = std::variant<Reading, Turn>;
Result<std::vector<Event>> in_order(const History& history);

Utc utc_of(const Event& event);

}  // namespace halfarc
