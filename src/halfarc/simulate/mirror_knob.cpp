#include "halfarc/simulate/mirror_knob.h"

#include <algorithm>

namespace halfarc {

MirrorKnob turned(MirrorKnob knob, double turns) {
  const double half = knob.slack_turns / 2.0;
  knob.knob += turns;
  knob.mirror = std::clamp(knob.mirror, knob.knob - half, knob.knob + half);
  return knob;
}

SkyOffset image_shift(const MirrorKnob& knob) {
  const double side = knob.slack_turns > 0.0 ? (knob.knob - knob.mirror) / knob.slack_turns : 0.0;  // -1/2 to 1/2
  return {knob.tipping.x * side + knob.wandering.x * knob.mirror,
          knob.tipping.y * side + knob.wandering.y * knob.mirror};
}

KnobWay way_to(const MirrorKnob& knob, double mirror, bool arrive_clockwise, double past) {
  const double half = knob.slack_turns / 2.0;
  const double sense = arrive_clockwise ? 1.0 : -1.0;
  const double end = mirror + sense * half;
  const bool already_before = (mirror - knob.mirror) * sense > 0.0;
  const double first = already_before ? 0.0 : mirror - sense * (half + past) - knob.knob;
  return {first, end - knob.knob - first};
}

}  // namespace halfarc
