// Focus series: where best focus lies, from clips at several positions of the knob, whatever the air did between them.
//
// Detail in ring b of clip i (measure/focus_spectrum.h) is, in logarithms,
//     y_ib = c_b + ln |H(b, w_i)| + S_i a_b,   w_i = k (x_i - x0),   a_b = -3.44 b^(5/3) (1 - 0.9 b^(1/3)):
// what the target holds, what a defocus of w waves leaves (measure/defocus_contrast.h), and what air of strength
// S = (D / r0)^(5/3) leaves of aligned frames [Fried1966]. Focus and air wear detail down in different ways, so x0, the
// waves a turn k, every clip's own S and the target's c_b are fitted together, by least squares; rings that hardly
// show, or that defocus has emptied, count for little. Arrivals from the two sides may have their own x0: the
// difference is the knob's backlash.
//
// The standard error is the jackknife's over clips: the air of one clip is a stranger to that of the next.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "halfarc/base/measured.h"
#include "halfarc/base/result.h"
#include "halfarc/measure/focus_spectrum.h"

namespace halfarc {

enum class Approach { unsaid, clockwise, counter_clockwise };

struct FocusClip {
  double position = 0.0;  // of the knob, turns, clockwise positive
  Approach approach = Approach::unsaid;
  FocusSpectrum spectrum;
};

struct FocusKnowledge {
  double obstruction = 0.0;
  std::optional<double> waves_per_turn;  // of the rig, when it is known; good to half of itself
};

struct FocusSeries {
  struct Point {
    Measured<double> contrast;  // that focus leaves, mean over the rings that show, air taken off; 1 at best focus
    double defocus_waves = 0.0;
    double air = 0.0;  // S, as far as the clips differ in it
  };
  std::vector<Point> points;                 // one a clip, in their order
  Measured<double> best;                     // position; for counter-clockwise arrivals when backlash is known
  std::optional<Measured<double>> backlash;  // turns that clockwise arrivals need more
  Measured<double> waves_per_turn;           // positive
  std::vector<std::string> doubts;           // why not to trust it, and what to add; none when trustworthy

  bool trustworthy() const { return doubts.empty(); }
};

// Valid: clips of one target at one exposure, farther than 0.3 waves and nearer than 3 waves on both sides.
// Accuracy: nine clips of 5 s in 2" seeing, a quarter wave apart: 0.013 wave rms, z-scores of unit variance within 20 %;
// waves a turn 6 % low
// (tests/measure/focus_series_accuracy_test.cpp).
// Errors (bad input): fewer than four clips or three positions; no ring shows in enough clips.
Result<FocusSeries> fit_focus(std::span<const FocusClip> clips, const FocusKnowledge& knowledge);

}  // namespace halfarc
