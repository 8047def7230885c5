#include "halfarc/simulate/mirror_knob.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

MirrorKnob knob_with(double slack) {
  MirrorKnob knob;
  knob.slack_turns = slack;
  knob.tipping = {Angle::arcsec(20.0), Angle::arcsec(-8.0)};
  return knob;
}

TEST(MirrorKnob, TheSameMarkFromTwoSidesIsTwoPlacesASlackApart) {
  const MirrorKnob from_below = turned(turned(knob_with(0.06), -1.0), 1.0);
  const MirrorKnob from_above = turned(turned(knob_with(0.06), 1.0), -1.0);
  EXPECT_NEAR(from_below.knob, from_above.knob, 1e-12);
  EXPECT_NEAR(from_above.mirror - from_below.mirror, 0.06, 1e-12);
}

TEST(MirrorKnob, InTheSlackOnlyTheImageMoves) {
  const MirrorKnob pushed = turned(knob_with(0.06), 0.5);
  const MirrorKnob back = turned(pushed, -0.06);
  EXPECT_NEAR(back.mirror, pushed.mirror, 1e-12);
  EXPECT_NEAR((image_shift(pushed).x - image_shift(back).x).arcsec(), 20.0, 1e-9);
  EXPECT_NEAR((image_shift(pushed).y - image_shift(back).y).arcsec(), -8.0, 1e-9);
}

TEST(MirrorKnob, ManySmallTurnsAreOneLargeTurn) {
  MirrorKnob knob = knob_with(0.05);
  for (int i = 0; i < 40; ++i) knob = turned(knob, 0.01);
  EXPECT_NEAR(knob.mirror, turned(knob_with(0.05), 0.4).mirror, 1e-12);
}

TEST(MirrorKnob, TheWayToAPlaceArrivesByTheWantedPush) {
  for (const double mirror : {-0.7, 0.0, 0.3}) {
    for (const bool clockwise : {false, true}) {
      const MirrorKnob start = turned(knob_with(0.05), 0.1);
      const KnobWay way = way_to(start, mirror, clockwise, 0.25);
      const MirrorKnob end = turned(turned(start, way.first), way.last);
      EXPECT_NEAR(end.mirror, mirror, 1e-12);
      EXPECT_NEAR(end.knob - end.mirror, clockwise ? 0.025 : -0.025, 1e-12);
    }
  }
}

}  // namespace
}  // namespace halfarc
