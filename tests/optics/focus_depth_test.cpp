#include "halfarc/optics/focus_depth.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

constexpr Length kGreen = Length::nm(550.0);
const Telescope kScope = schmidt_cassegrain();

Train train(Length more) {
  Part camera{"camera", PartKind::camera, Length::mm(12.5) + more, Length::mm(8.9), {}, 1.0, {}, 1.0};
  Part amplifier{"amplifier",
                 PartKind::amplifier,
                 Length::mm(90.0),
                 {},
                 {},
                 1.0,
                 single_amplifier(2.0, Length::mm(80.0), Length::mm(20.0)),
                 1.0};
  return {{amplifier, camera}};
}

// A second route: a sensor that lies too far out by the depth asks the telescope for just the focus that it names.
TEST(FocusDepth, IsWhatAShiftedSensorAsksFor) {
  const TrainSolution at_focus = *solve(train(Length()), kScope);
  const FocusDepth depth = focus_depth(kScope, at_focus, kGreen, kQuarterWave);
  const TrainSolution shifted = *solve(train(depth.sensor), kScope);
  const double off = (shifted.back_focus - at_focus.back_focus) / depth.telescope_focus;
  EXPECT_NEAR(off, 1.0, 0.01);
  EXPECT_NEAR((shifted.skyward_travel - at_focus.skyward_travel) / depth.travel, 1.0, 0.01);
  EXPECT_NEAR(depth.knob_turns * kScope.knob.travel_per_turn.um(), depth.travel.um(), 1e-12);
  const Length by_heat = focus_shift_per_kelvin(kScope, at_focus.back_focus) * depth.tube.kelvin();
  EXPECT_NEAR(by_heat / depth.telescope_focus, -1.0, 1e-12);
}

TEST(FocusDepth, CarefulBoundIsHalfTheUsualOne) {
  const TrainSolution s = *solve(train(Length()), kScope);
  EXPECT_NEAR(focus_depth(kScope, s, kGreen, kEighthWave).sensor / focus_depth(kScope, s, kGreen, kQuarterWave).sensor,
              0.5, 1e-12);
}

// An amplifier makes the sensor's depth M^2 larger and the knob's no finer.
TEST(FocusDepth, AmplifierLeavesTheKnobAsItIs) {
  Part camera{"camera", PartKind::camera, Length::mm(127.0), Length::mm(8.9), {}, 1.0, {}, 1.0};
  const FocusDepth bare = focus_depth(kScope, *solve({{camera}}, kScope), kGreen, kQuarterWave);
  const TrainSolution behind = *solve(train(Length::mm(7.5)), kScope);
  const FocusDepth amplified = focus_depth(kScope, behind, kGreen, kQuarterWave);
  EXPECT_GT(amplified.sensor / bare.sensor, 3.0);
  EXPECT_NEAR(amplified.knob_turns / bare.knob_turns, 1.0, 0.1);
}

}  // namespace
}  // namespace halfarc
