#include "halfarc/app/hidden_rig.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/app/hidden_shot.h"
#include "halfarc/app/home.h"
#include "halfarc/optics/focus_depth.h"

namespace halfarc {
namespace {

const Utc kOut = Utc::civil(2027, 2, 14, 19, 15, 0.0).value();

HiddenRig rig_of(std::uint64_t seed, bool whole = true) {
  Rig rig = example_rig();
  if (!whole) {
    rig.train = without_part(without_part(rig.train, "amplifier").value(), "corrector").value();
  }
  return hidden_rig(rig, example_site().site, kOut, seed).value();
}

void do_all(HiddenRig& hidden, const std::vector<Turned>& turns) {
  for (const Turned& turned : turns) ASSERT_TRUE(apply(hidden, turned));
}

double size(const OpticsError& e) { return std::hypot(e.coma_x_waves, e.coma_y_waves); }
double size(const SkyOffset& o) { return std::hypot(o.x.arcsec(), o.y.arcsec()); }

ColourLight giant_light(const HiddenRig& hidden) {
  HiddenRig later = hidden;
  later.now = kOut + Duration::hours(2.0);
  return light_of(later, {sky::Body::jupiter, {}, 0.0, {}}).value().colours;
}

TEST(HiddenRig, ASeedIsATelescope) {
  const HiddenRig a = rig_of(4);
  const HiddenRig b = rig_of(4);
  const HiddenRig c = rig_of(5);
  EXPECT_EQ(a.zenith, b.zenith);
  EXPECT_EQ(coma(a), coma(b));
  EXPECT_NE(a.zenith, c.zenith);
  EXPECT_NE(a.knob.slack_turns, c.knob.slack_turns);
}

TEST(HiddenRig, AKnobTurnIsWhatTheDepthOfFocusSays) {
  const HiddenRig hidden = rig_of(1);
  const FocusDepth depth = focus_depth(hidden.rig.telescope, hidden.train, hidden.green, kEighthWave);
  const double as_described = kEighthWave / depth.knob_turns;
  const double truly = std::abs(waves_per_turn(hidden));
  const double pitch = std::abs(hidden.travel_per_turn / hidden.rig.telescope.knob.travel_per_turn);
  EXPECT_NEAR(truly / pitch, as_described, 0.02 * as_described);
}

TEST(HiddenRig, FocusIsMendedThroughTheSlack) {
  for (const std::uint64_t seed : {1U, 2U, 3U, 4U}) {
    HiddenRig hidden = rig_of(seed);
    ASSERT_TRUE(apply(hidden, {Control::focus, 0.4}));
    ASSERT_TRUE(apply(hidden, {Control::focus, -0.03}));
    EXPECT_GT(std::abs(defocus_waves(hidden)), 1.0);
    do_all(hidden, to_mend(hidden, Mending::focus, 1.0, {}));
    EXPECT_LT(std::abs(defocus_waves(hidden)), 0.05) << seed;
    // The last push is the way that rig.toml calls skyward: a little more of it moves the mirror at once, a little back
    // does not.
    const double skyward = hidden.rig.telescope.knob.clockwise_is_skyward ? 0.01 : -0.01;
    HiddenRig back = hidden;
    ASSERT_TRUE(apply(back, {Control::focus, -skyward}));
    EXPECT_EQ(defocus_waves(back), defocus_waves(hidden));
    ASSERT_TRUE(apply(hidden, {Control::focus, skyward}));
    EXPECT_NE(defocus_waves(back), defocus_waves(hidden));
  }
}

TEST(HiddenRig, ThreeScrewsAlikeDoNextToNothingAndOneDoesMuch) {
  HiddenRig hidden = rig_of(2, false);
  const OpticsError first = coma(hidden);
  HiddenRig one = hidden;
  ASSERT_TRUE(apply(one, {Control::screw_a, 0.125}));
  const double by_one =
      std::hypot(coma(one).coma_x_waves - first.coma_x_waves, coma(one).coma_y_waves - first.coma_y_waves);
  for (const Control screw : {Control::screw_a, Control::screw_b, Control::screw_c}) {
    ASSERT_TRUE(apply(hidden, {screw, 0.125}));
  }
  const double by_all =
      std::hypot(coma(hidden).coma_x_waves - first.coma_x_waves, coma(hidden).coma_y_waves - first.coma_y_waves);
  EXPECT_GT(by_one, 0.3);
  EXPECT_LT(by_all, 0.25 * by_one);  // pitches and directions differ by some per cent
}

TEST(HiddenRig, TheScrewsMendComa) {
  for (const std::uint64_t seed : {1U, 7U, 9U}) {
    HiddenRig hidden = rig_of(seed, false);
    EXPECT_NEAR(size(coma(hidden)), 0.9, 1e-9);
    do_all(hidden, to_mend(hidden, Mending::collimation, 1.0, {}));
    EXPECT_LT(size(coma(hidden)), 0.2);  // as finely as a hand turns
  }
}

TEST(HiddenRig, LeversAndRollBringTheColoursTogetherWhereTheOpticsSay) {
  HiddenRig hidden = rig_of(3);
  const ColourLight light = giant_light(hidden);
  const auto apart = [&] {
    const ColourPlaces places = colour_places(hidden, light);
    return size({places.shift[0].x - places.shift[2].x, places.shift[0].y - places.shift[2].y});
  };
  const double at_zero = apart();
  EXPECT_GT(at_zero, 0.5);
  do_all(hidden, to_mend(hidden, Mending::colours, 1.0, light));
  EXPECT_LT(apart(), 0.1);  // a tenth of a mark and a degree
  PrismPair pair = *hidden.rig.corrector;
  pair.roll = roll_against(hidden.zenith);
  const LeverSetting predicted =
      marks_for(pair, *corrector_place(hidden.train), light.air, light.planes[0], light.planes[2]);
  ASSERT_TRUE(predicted.enough);
  EXPECT_NEAR(hidden.corrector.marks, predicted.marks, 0.05);
  // What is left inside the planes is less than without the prisms.
  HiddenRig bare = rig_of(3, false);
  const ColourPlaces through = colour_places(hidden, light), without = colour_places(bare, light);
  EXPECT_LT(size(through.smear[2]), size(without.smear[2]));
  // Without them light is drawn out along the zenith alone, by what the air's own curve says.
  const PixelOffset up = step_towards(bare.zenith);
  for (std::size_t c = 0; c < 3; ++c) {
    EXPECT_NEAR(size(without.smear[c]), spread_of(light.air, light.planes[c]).width.arcsec(), 1e-9);
    EXPECT_NEAR(without.smear[c].x.arcsec() * up.y - without.smear[c].y.arcsec() * up.x, 0.0, 1e-9);
  }
}

TEST(HiddenRig, ARolledCorrectorPullsAside) {
  HiddenRig hidden = rig_of(3);
  const ColourLight light = giant_light(hidden);
  do_all(hidden, to_mend(hidden, Mending::colours, 1.0, light));
  ASSERT_TRUE(apply(hidden, {Control::roll, 25.0}));
  const ColourPlaces places = colour_places(hidden, light);
  const PixelOffset right = step_towards(hidden.zenith + Angle::deg(90.0));
  // Air along the zenith and glass aside draw a colour out between the two.
  const SkyOffset blue = places.smear[2];
  EXPECT_GT(std::abs(blue.x.arcsec() * right.x + blue.y.arcsec() * right.y), 0.01);
  const double across = (places.shift[0].x - places.shift[2].x).arcsec() * right.x +
                        (places.shift[0].y - places.shift[2].y).arcsec() * right.y;
  EXPECT_GT(std::abs(across), 0.15);
}

TEST(HiddenRig, TheKeysBringTheTargetBack) {
  HiddenRig hidden = rig_of(6);
  ASSERT_TRUE(apply(hidden, {Control::screw_b, 0.0625}));
  EXPECT_GT(size(target_place(hidden)), 20.0);
  do_all(hidden, to_mend(hidden, Mending::centre, 1.0, {}));
  EXPECT_LT(size(target_place(hidden)), 1.0);
}

TEST(HiddenRig, TheTubeCoolsAndItsPlumeDies) {
  HiddenRig hidden = rig_of(1, false);
  pass(hidden, Duration::minutes(5.0));
  const double soon = plume(hidden).rms_waves;
  const double focus = defocus_waves(hidden);
  ASSERT_TRUE(apply(hidden, {Control::cooling, 90.0}));
  EXPECT_GT(soon, 0.1);
  EXPECT_LT(plume(hidden).rms_waves, 0.5 * soon);
  EXPECT_GT(std::abs(defocus_waves(hidden) - focus), 0.5);
  EXPECT_NEAR((hidden.now - kOut).minutes(), 95.0, 1e-9);
}

TEST(HiddenRig, APartPutInMovesFocusAndTarget) {
  HiddenRig hidden = rig_of(8, false);
  do_all(hidden, to_mend(hidden, Mending::focus, 1.0, {}));
  const SkyOffset before = target_place(hidden);
  const TrainChange predicted = change(hidden.train, solve(example_rig()).value(), hidden.rig.telescope, hidden.green);
  ASSERT_TRUE(refit(hidden, example_rig().train));
  const double turns = -defocus_waves(hidden) / waves_per_turn(hidden);
  EXPECT_NEAR(std::abs(turns * hidden.travel_per_turn.um()), std::abs(predicted.skyward_travel.um()),
              0.05 * std::abs(predicted.skyward_travel.um()) + 3.0);
  EXPECT_GT(size({target_place(hidden).x - before.x, target_place(hidden).y - before.y}), 10.0);
}

TEST(HiddenRig, ASpacingChangesTheTrain) {
  HiddenRig hidden = rig_of(1);
  const double focus = defocus_waves(hidden);
  ASSERT_TRUE(apply(hidden, {Control::spacing, 5.0}));
  ASSERT_TRUE(apply(hidden, {Control::spacing, 3.0}));
  EXPECT_NEAR(hidden.train.sensor.mm(), 208.2, 1e-6);
  EXPECT_NE(defocus_waves(hidden), focus);
  ASSERT_TRUE(apply(hidden, {Control::exposure, -100.0}));
  EXPECT_GT(hidden.exposure.ms(), 0.0);
}

}  // namespace
}  // namespace halfarc
