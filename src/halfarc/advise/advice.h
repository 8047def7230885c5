// Advice: one instruction for the hand: what, which way, how far, how sure, and what it gains; or leave it alone.
#pragma once

#include <string>
#include <vector>

#include "halfarc/advise/control.h"
#include "halfarc/advise/gain.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/pixel.h"

namespace halfarc {

struct Advice {
  Control control = Control::focus;  // the first that it is about
  std::vector<Turned> turns;         // in the order in which to do them; none: leave it alone
  double sigma = 0.0;                // of what would be the right amount, in unit_of(control)
  Measured<double> gain;             // of half-arc contrast: 0.1 is a tenth more
  bool test = false;                 // to learn what the control does, not to mend
  std::string words;

  bool leave_alone() const { return turns.empty(); }
};

// The greatest gain first; what is to be left alone last, and after all of it nothing: when all is to be left alone the
// night is for recording, which `go_and_record` says. Order of equals is kept.
std::vector<Advice> ranked(std::vector<Advice> advice);

// Whether readings have been made and none of them asks for a hand.
bool go_and_record(const std::vector<Advice>& advice);

// "gains half-arc detail 12 ± 3 % of contrast", "makes half-arc detail 2.4 times as strong".
std::string gain_words(const Measured<double>& gain);

// With as many decimals as the error leaves meaning: "1.24 ± 0.05".
std::string measured_words(const Measured<double>& m);

// "towards 4 o'clock on the picture".
std::string towards_words(PixelOffset step);

}  // namespace halfarc
