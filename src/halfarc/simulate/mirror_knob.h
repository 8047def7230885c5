// MirrorKnob: the focus knob of a moving mirror, with its slack and what it does to the image besides focusing.
//
// The knob pushes the mirror through play: within it the knob turns and the mirror stays, and only the side on which it
// rests changes. The mirror tips a little as it goes over from one side to the other, which moves the image (mirror
// shift), and its way along the baffle is not quite that of the light, which moves the image in proportion.
// Turns are clockwise positive.
#pragma once

#include "halfarc/base/pixel.h"

namespace halfarc {

struct MirrorKnob {
  double slack_turns = 0.05;  // between pushing one way and the other
  SkyOffset tipping;          // of the image, when the mirror goes over to the side of a clockwise push
  SkyOffset wandering;        // of the image, for each turn of the mirror
  double knob = 0.0;          // where the hand has turned it
  double mirror = 0.0;        // where the mirror stands; within half the slack of the knob
};

// After the hand has turned by so much. Valid: slack >= 0. Accuracy: exact (an element of play).
MirrorKnob turned(MirrorKnob knob, double turns);

// Where the image has gone with it. Valid: any. Accuracy: exact as stated; half of the tipping to either side.
SkyOffset image_shift(const MirrorKnob& knob);

// How far to turn so that the mirror arrives at a place by a push of that sense: past it and back where need be, as
// two turns, the first of which may be nil. Valid: `past` >= slack. Accuracy: exact.
struct KnobWay {
  double first = 0.0;
  double last = 0.0;
};
KnobWay way_to(const MirrorKnob& knob, double mirror, bool arrive_clockwise, double past);

}  // namespace halfarc
