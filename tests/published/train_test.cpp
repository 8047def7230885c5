// The telescope, the amplifier and the train against publications and what everybody at a telescope knows.
#include "halfarc/optics/train.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/optics/focus_depth.h"
#include "halfarc/optics/paraxial.h"
#include "halfarc/optics/sampling.h"

namespace halfarc {
namespace {

constexpr Length kGreen = Length::nm(550.0);
constexpr Length kInch = Length::mm(25.4);
const Telescope kScope = schmidt_cassegrain(Length::mm(200.0));

Part spacer(Length length) { return {"spacer", PartKind::spacer, length, Length::mm(36.0), {}, 1.0, {}, 1.0}; }

Part camera() { return {"camera", PartKind::camera, Length::mm(12.5), Length::mm(8.9), {}, 1.0, {}, 1.0}; }

// Two prisms of 6 mm each in a barrel of 38 mm.
Part corrector() {
  return {"corrector", PartKind::corrector, Length::mm(38.0), Length::mm(24.0), Length::mm(12.0), 1.62, {}, 1.0};
}

// A negative lens that reaches 55 mm into the tube before it and adds 25 mm behind: twofold with this camera.
Part amplifier() {
  return {"amplifier",
          PartKind::amplifier,
          Length::mm(25.0),
          Length::mm(26.0),
          {},
          1.0,
          single_amplifier(2.0, Length::mm(92.5), Length::mm(-55.0)),
          1.0};
}

TrainSolution solved(const std::vector<Part>& parts) { return *solve({parts}, kScope); }

// [BornWolf1999] 8.8, 9.3 (Rayleigh's quarter wave): +-2 lambda N^2, at 550 nm +-0.110 mm at f/10, 0.440 at f/20,
// 0.6875 at f/25.
TEST(PublishedDepthOfFocus, QuarterWaveOfBornAndWolf) {
  for (const auto& [ratio, mm] : {std::pair{10.0, 0.110}, std::pair{20.0, 0.440}, std::pair{25.0, 0.6875}}) {
    TrainSolution train = solved({spacer(Length::mm(114.5)), camera()});
    train.focal_ratio = ratio;
    EXPECT_NEAR(focus_depth(kScope, train, kGreen, kQuarterWave).sensor.mm(), mm, 1e-9);
  }
}

// Common practice (a table for 600 nm): lambda/8 is +-0.06 mm at f/10, 0.13 at f/15, 0.24 at f/20, 0.54 at f/30.
TEST(PublishedDepthOfFocus, EighthWaveCommonPractice) {
  for (const auto& [ratio, mm] :
       {std::pair{10.0, 0.06}, std::pair{15.0, 0.13}, std::pair{20.0, 0.24}, std::pair{30.0, 0.54}}) {
    TrainSolution train = solved({spacer(Length::mm(114.5)), camera()});
    train.focal_ratio = ratio;
    EXPECT_NEAR(focus_depth(kScope, train, Length::nm(600.0), kEighthWave).sensor.mm(), mm, 0.006);
  }
}

// Common practice: the primary of such a telescope must stand within a few microns (2.5 for lambda/8 at f/10).
TEST(PublishedDepthOfFocus, PrimaryWithinMicronsCommonPractice) {
  const TrainSolution train = solved({spacer(Length::mm(114.5)), camera()});
  EXPECT_NEAR(focus_depth(kScope, train, Length::nm(600.0), kEighthWave).travel.um(), 2.5, 0.3);
}

// Common practice: lambda/8 for each 0.25 to 0.3 K by which a closed aluminium tube cools.
TEST(PublishedDepthOfFocus, EighthWaveForEachThirdOfAKelvinCommonPractice) {
  const TrainSolution train = solved({spacer(Length::mm(114.5)), camera()});
  EXPECT_NEAR(focus_depth(kScope, train, kGreen, kEighthWave).tube.kelvin(), 0.275, 0.04);
}

// Common practice, from makers' and opticians' pages: a 200 mm f/10 gains about 5 % of focal ratio with each inch of
// back focus. An f/2 primary and a magnification of 5 with usual back focus give 4.2 % in paraxial optics.
TEST(PublishedBackFocus, AboutFivePercentOfFocalRatioAnInch) {
  const Length more = kScope.back_focus + kInch;
  const double gain = effective_focal_length(kScope, more) / effective_focal_length(kScope, kScope.back_focus) - 1.0;
  EXPECT_NEAR(gain, 0.05, 0.01);
}

// Common practice, same pages: about 1/16 wave of spherical aberration an inch (peak to valley at best focus). Two
// spheres behind an ideal corrector give 1/25; real secondaries are figured by hand and differ.
TEST(PublishedBackFocus, AboutASixteenthOfAWaveAnInch) {
  const double waves =
      spherical_peak_to_valley_waves(spherical_change_waves(kScope, kScope.back_focus + kInch, kGreen));
  EXPECT_GT(waves, 1.0 / 32.0);
  EXPECT_LT(waves, 1.0 / 8.0);
}

// Common practice: the focus moves about m^2 times as far as the mirror, some 25 times at f/10 from f/2.
TEST(PublishedBackFocus, FocusMovesMSquaredTimesTheMirror) {
  const Length travel = skyward_travel(kScope, kScope.back_focus, kScope.back_focus + Length::mm(1.0));
  EXPECT_NEAR(Length::mm(1.0) / travel, 25.0, 0.1);
}

// [BornWolf1999] 4.4, and common practice as M = d / F + 1.
TEST(PublishedAmplifier, MagnificationAgainstDistance) {
  for (const double d_over_f : {0.5, 1.0, 1.5, 2.0}) {
    const std::vector<ThinLens> lens = {{Length(), Length::mm(-75.0)}};
    EXPECT_NEAR(amplification(lens, Length::mm(75.0 * d_over_f)).magnification, d_over_f + 1.0, 1e-12);
  }
}

// Common practice: an amplifier of M makes the image M^2 dimmer.
TEST(PublishedAmplifier, ImageIsMSquaredDimmerCommonPractice) {
  // A spacer keeps the telescope's own focus where it was, so that only the amplifier acts.
  const TrainSolution with = solved({spacer(Length::mm(100.0)), amplifier(), camera()});
  const TrainSolution without = solved({spacer(with.back_focus - Length::mm(12.5)), camera()});
  const TrainChange c = change(without, with, kScope, kGreen);
  EXPECT_NEAR(c.back_focus.mm(), 0.0, 1e-9);
  EXPECT_NEAR(c.scale_factor, 2.0, 1e-9);
  EXPECT_NEAR(c.light_factor, 1.0 / 4.0, 1e-9);
}

// Common practice: the corrector before the camera and the amplifier ask for opposite turns of the knob.
TEST(PublishedTrain, CorrectorAndAmplifierAskForOppositeTurnsCommonPractice) {
  const Train bare{{spacer(Length::mm(100.0)), camera()}};
  const TrainSolution before = *solve(bare, kScope);
  const TrainChange prisms = change(before, *solve(*with_part(bare, 1, corrector()), kScope), kScope, kGreen);
  const TrainChange lens = change(before, *solve(*with_part(bare, 1, amplifier()), kScope), kScope, kGreen);
  EXPECT_GT(prisms.back_focus.mm(), 0.0);
  EXPECT_LT(lens.back_focus.mm(), 0.0);
  EXPECT_NE(prisms.knob.clockwise, lens.knob.clockwise);
  EXPECT_FALSE(prisms.knob.clockwise);  // counter-clockwise: the mirror forward, the focus out
}

// Common practice: a plate filter of thickness t shifts focus by t (1 - 1/n), about a third of t.
TEST(PublishedTrain, PlateShiftsFocusByAThirdOfItsThicknessCommonPractice) {
  Part plate{"filter", PartKind::filter, {}, Length::mm(26.0), Length::mm(3.0), 1.5, {}, 1.0};
  const Train bare{{spacer(Length::mm(100.0)), camera()}};
  const TrainSolution with = *solve(*with_part(bare, 1, plate), kScope);
  EXPECT_NEAR((with.back_focus - solve(bare, kScope)->back_focus).mm(), -1.0, 1e-9);
  EXPECT_NEAR(plate_shift(Length::mm(3.0), 1.5).mm(), 1.0, 1e-12);
}

// Common practice: behind the amplifier the corrector stands in a slower cone, before it its prisms act more.
TEST(PublishedTrain, OrderOfCorrectorAndAmplifierCommonPractice) {
  const TrainSolution behind = solved({spacer(Length::mm(100.0)), amplifier(), corrector(), camera()});
  const TrainSolution before = solved({corrector(), spacer(Length::mm(100.0)), amplifier(), camera()});
  EXPECT_GT(behind.parts[2].focal_ratio, 1.8 * before.parts[0].focal_ratio);
  EXPECT_GT(before.parts[0].sky_per_turn, 2.0 * behind.parts[2].sky_per_turn);
}

// [Goodman2005] 6.3: N = 2 p / lambda; 2.9 um at 550 nm gives f/10.5.
TEST(PublishedSampling, CriticalFocalRatio) {
  EXPECT_NEAR(critical_focal_ratio(Length::um(2.9), Sites::every, kGreen), 10.5, 0.05);
}

// Common practice: focal ratio of three times the pixel's microns without a mosaic, five to six times with one.
TEST(PublishedSampling, RulesOfThumbCommonPractice) {
  EXPECT_NEAR(critical_focal_ratio(Length::um(1.0), Sites::every, kGreen), 3.6, 0.7);
  EXPECT_NEAR(critical_focal_ratio(Length::um(1.0), Sites::diagonal, kGreen), 5.0, 0.5);
}

}  // namespace
}  // namespace halfarc
