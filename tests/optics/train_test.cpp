#include "halfarc/optics/train.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/optics/paraxial.h"

namespace halfarc {
namespace {

const Telescope kScope = schmidt_cassegrain();
constexpr Length kGreen = Length::nm(550.0);

Part spacer(double mm) { return {"spacer", PartKind::spacer, Length::mm(mm), Length::mm(36.0), {}, 1.0, {}, 1.0}; }

Part camera() {
  return {"camera", PartKind::camera, Length::mm(12.5), Length::mm(8.9), Length::mm(1.5), 1.5168, {}, 1.0};
}

Part corrector() {
  return {"corrector", PartKind::corrector, Length::mm(38.0), Length::mm(24.0), Length::mm(12.0), 1.62, {}, 0.97};
}

// A two-lens amplifier whose barrel reaches 60 mm into the part before it and adds 40 mm behind its shoulder.
Part amplifier() {
  return {"amplifier",
          PartKind::amplifier,
          Length::mm(40.0),
          Length::mm(26.0),
          {},
          1.0,
          telecentric_amplifier(2.0, Length::mm(50.0), Length::mm(-60.0)),
          0.97};
}

Part filter() { return {"filter", PartKind::filter, {}, Length::mm(26.0), Length::mm(2.0), 1.5168, {}, 0.97}; }

TrainSolution solved(const std::vector<Part>& parts, const Telescope& telescope = kScope) {
  const auto solution = solve({parts}, telescope);
  EXPECT_TRUE(solution.has_value()) << solution.error().line();
  return *solution;
}

TEST(Train, BareCameraSitsAtTheDesignFocusWhenItsDepthSaysSo) {
  Part bare = camera();
  bare.glass = Length();
  const TrainSolution s = solved({spacer(114.5), bare});
  EXPECT_NEAR(s.back_focus.mm(), 127.0, 1e-12);
  EXPECT_NEAR(s.focal_length.mm(), 2030.0, 1e-9);
  EXPECT_NEAR(s.focal_ratio, 10.0, 1e-12);
  EXPECT_NEAR(s.skyward_travel.mm(), 0.0, 1e-12);
  EXPECT_NEAR(s.parts[0].front_beam.mm(), 12.7, 1e-9);
  EXPECT_NEAR(s.parts[1].front_beam.mm(), 1.25, 1e-9);
  EXPECT_NEAR(s.parts[1].rear_beam.mm(), 0.0, 1e-9);
  EXPECT_NEAR(s.parts[1].rear_field_beam.mm(), 8.9, 1e-9);
  EXPECT_NEAR(on_sky(s, Length::um(3.45)).arcsec(), 3.45e-3 / 2030.0 * 206264.806, 1e-6);
  EXPECT_TRUE(s.in_reach);
}

// Common practice: a plate of thickness t moves the focus t (1 - 1/n) outwards, about a third of its thickness.
TEST(Train, BeamIsToldAtEveryFaceAndLens) {
  const TrainSolution train = solved({spacer(110.0), amplifier(), corrector(), camera()});
  const auto at = [&](Length place) {
    for (const BeamStep& step : train.beam) {
      if (abs(step.at - place) < Length::nm(1.0)) return step;
    }
    ADD_FAILURE() << "no step at " << place.mm() << " mm";
    return BeamStep{};
  };
  for (const PlacedPart& placed : train.parts) {
    EXPECT_NEAR(at(placed.start).axis.mm(), placed.front_beam.mm(), 1e-9) << placed.part.name;
    EXPECT_NEAR(at(placed.start).field.mm(), placed.front_field_beam.mm(), 1e-9) << placed.part.name;
  }
  EXPECT_GT(at(Length::mm(50.0)).axis, at(Length::mm(100.0)).axis);  // both lenses
  EXPECT_NEAR(train.beam.back().axis.mm(), 0.0, 1e-9);
  EXPECT_NEAR(train.beam.back().field.mm(), 8.9, 1e-9);
  for (std::size_t i = 1; i < train.beam.size(); ++i) EXPECT_GE(train.beam[i].at, train.beam[i - 1].at);
}

TEST(Train, FilterGivesBackAThirdOfItsThickness) {
  const TrainSolution without = solved({spacer(100.0), camera()});
  const TrainSolution with = solved({spacer(100.0), filter(), camera()});
  EXPECT_NEAR((with.back_focus - without.back_focus).mm(), -2.0 * (1.0 - 1.0 / 1.5168), 1e-12);
  // The light leaves it as wide as it meets the camera; before the glass the way to the sensor counts as shorter.
  EXPECT_EQ(with.parts[1].rear_beam, with.parts[2].front_beam);
  EXPECT_NEAR(((with.parts[1].rear_beam - with.parts[1].front_beam) * with.focal_ratio).mm(),
              plate_shift(Length::mm(2.0), 1.5168).mm(), 1e-12);
}

// A second route: the beam followed through the whole train ends in a point on the sensor, in every order of parts.
TEST(Train, EveryOrderBringsTheBeamToThePoint) {
  const std::vector<std::vector<Part>> orders = {{corrector(), spacer(70.0), amplifier(), filter(), camera()},
                                                 {spacer(70.0), amplifier(), corrector(), filter(), camera()},
                                                 {amplifier(), spacer(20.0), corrector(), camera()},
                                                 {filter(), spacer(80.0), amplifier(), camera()}};
  for (const auto& parts : orders) {
    const TrainSolution s = solved(parts);
    EXPECT_NEAR(s.parts.back().rear_beam.mm(), 0.0, 1e-9);
    EXPECT_NEAR(s.parts.back().focal_ratio, s.focal_ratio, 1e-9);
    EXPECT_NEAR(s.amplification, 2.0, 1e-9);
    EXPECT_NEAR(s.focal_length.mm(), 2.0 * effective_focal_length(kScope, s.back_focus).mm(), 1e-6);
  }
}

// By hand: the lens 50 mm before the shoulder, M = 2 at 80 mm, so that the focus asked for lies 40 mm behind the lens.
TEST(Train, SingleLensByHand) {
  Part barlow = amplifier();
  barlow.length = Length::mm(20.0);
  barlow.lenses = single_amplifier(2.0, Length::mm(80.0), Length::mm(-47.5));
  Part bare = camera();
  bare.glass = Length();
  const TrainSolution s = solved({spacer(100.0), barlow, bare});
  EXPECT_NEAR(s.amplification, 2.0, 1e-12);
  EXPECT_NEAR(s.back_focus.mm(), 100.0 - 47.5 + 40.0, 1e-9);
  const TrainSolution further = solved({spacer(100.0), barlow, spacer(40.0), bare});
  EXPECT_NEAR(further.amplification, 1.0 + 120.0 / 80.0, 1e-12);
}

TEST(Train, LensInsideTheTelescopeStillActs) {
  const TrainSolution s = solved({amplifier(), camera()});
  EXPECT_NEAR(s.parts[0].focal_ratio, s.focal_ratio, 1e-9);  // both lenses lie before the port
  EXPECT_NEAR(s.amplification, 2.0, 1e-9);
  // The same glass behind a port that lies 70 mm nearer to the objective.
  const TrainSolution inside = solved({amplifier(), camera()}, refractor());
  const TrainSolution outside = solved({spacer(70.0), amplifier(), camera()}, refractor());
  EXPECT_NEAR((outside.back_focus - inside.back_focus).mm(), 70.0, 1e-9);
  EXPECT_NEAR(inside.corner_angle / outside.corner_angle, 1.0, 1e-9);
  EXPECT_NEAR(inside.parts[0].rear_field_beam / outside.parts[1].rear_field_beam, 1.0, 1e-9);
}

// Turning the light by a small angle at the prisms moves the picture by the air-equal distance to the sensor, and the
// amplifier multiplies it when it comes after.
TEST(Train, TurnsOfLightReachTheSky) {
  const TrainSolution behind = solved({spacer(70.0), amplifier(), corrector(), camera()});
  const Length to_sensor = Length::mm(19.0 + 12.5) - plate_shift(Length::mm(1.5), 1.5168);
  EXPECT_NEAR(behind.parts[2].sky_per_turn, to_sensor / behind.focal_length, 1e-9);
  const TrainSolution before = solved({spacer(70.0), corrector(), spacer(60.0), amplifier(), camera()});
  const Length middle = before.parts[1].start + before.parts[1].part.length / 2.0;
  // Before the lenses the lever is the distance to the telescope's own focus over its focal length; the prisms' own
  // glass before the middle moved that focus outwards.
  const Length to_focus = before.back_focus + plate_shift(Length::mm(12.0), 1.62) - middle;
  EXPECT_NEAR(before.parts[1].sky_per_turn, to_focus / before.telescope_focal_length, 1e-9);
}

// A single lens makes the light fan out towards the corners; the pair sends it in nearly square (telecentric).
TEST(Train, TelecentricPairMeetsTheSensorSquarely) {
  Part bare = camera();
  bare.glass = Length();
  const TrainSolution without = solved({spacer(114.5), bare});
  const double to_pupil = exit_pupil_before_port(kScope, without.back_focus).mm() + 127.0;
  EXPECT_NEAR(without.corner_angle.rad(), 4.45 / to_pupil, 1e-9);
  Part barlow = amplifier();
  barlow.lenses = single_amplifier(2.0, Length::mm(62.5), Length::mm(-10.0));
  const TrainSolution single = solved({spacer(100.0), barlow, bare});
  const TrainSolution pair = solved({spacer(100.0), amplifier(), bare});
  EXPECT_GT(single.corner_angle, 2.0 * without.corner_angle);
  EXPECT_LT(pair.corner_angle, without.corner_angle);
}

TEST(Train, NarrowOpeningsAreToldAndCostAperture) {
  Part narrow = spacer(100.0);
  narrow.clear_aperture = Length::mm(9.0);
  const TrainSolution s = solved({narrow, camera()});
  EXPECT_TRUE(s.parts[0].cuts_axis);
  EXPECT_NEAR(s.pupil.diameter.mm(), 203.0 * 9.0 / s.parts[0].front_beam.mm(), 1e-9);
  EXPECT_NEAR(s.pupil.diameter.mm() * s.pupil.obstruction, 203.0 * 0.34, 1e-9);
  EXPECT_GT(s.focal_ratio, 11.0);
  const double open = s.pupil.diameter.mm() / 203.0;
  EXPECT_NEAR(change(solved({spacer(100.0), camera()}), s, kScope, kGreen).light_factor,
              (open * open - 0.34 * 0.34) / (1.0 - 0.34 * 0.34), 1e-9);
  narrow.clear_aperture = s.parts[0].front_beam + Length::mm(0.1);
  const TrainSolution corners = solved({narrow, camera()});
  EXPECT_FALSE(corners.parts[0].cuts_axis);
  EXPECT_TRUE(corners.parts[0].cuts_field);
}

TEST(Train, FocusOutOfReachIsSaid) {
  EXPECT_FALSE(solved({spacer(500.0), camera()}).in_reach);
  EXPECT_FALSE(solved({spacer(200.0), camera()}, newtonian()).in_reach);
}

TEST(Train, ChangeSaysWhatTheHandDoes) {
  const TrainSolution before = solved({spacer(100.0), camera()});
  const TrainSolution after = solved({spacer(100.0), amplifier(), camera()});
  const TrainChange c = change(before, after, kScope, kGreen);
  EXPECT_LT(c.back_focus.mm(), 0.0);
  EXPECT_TRUE(c.knob.clockwise);
  EXPECT_NEAR(c.knob.turns * kScope.knob.travel_per_turn.mm(), std::abs(c.skyward_travel.mm()), 1e-12);
  EXPECT_NEAR(c.scale_factor, after.focal_length / before.focal_length, 1e-12);
  EXPECT_NEAR(c.light_factor, 0.97 / (c.scale_factor * c.scale_factor), 1e-9);
  const TrainChange back = change(after, before, kScope, kGreen);
  EXPECT_NEAR(back.light_factor * c.light_factor, 1.0, 1e-12);
  EXPECT_NEAR(back.spherical_waves + c.spherical_waves, 0.0, 1e-12);
  EXPECT_FALSE(back.knob.clockwise);
}

// Putting the camera further out asks the focuser of a plain objective to go in, towards the sky, by as much.
TEST(Train, FocuserGoesInByTheLengthAdded) {
  const Telescope plain = refractor();
  const TrainChange c = change(solved({spacer(90.0), camera()}, plain),
                               solved({spacer(90.0), spacer(30.0), camera()}, plain), plain, kGreen);
  EXPECT_NEAR(c.skyward_travel.mm(), 30.0, 1e-9);
  EXPECT_NEAR(c.scale_factor, 1.0, 1e-12);
  EXPECT_EQ(c.spherical_waves, 0.0);
}

TEST(Train, PartsComeAndGo) {
  const Train train{{spacer(60.0), camera()}};
  const auto with = with_part(train, 1, corrector());
  ASSERT_TRUE(with.has_value());
  EXPECT_EQ(with->parts[1].name, "corrector");
  const auto moved = with_part_moved(*with, "corrector", 0);
  ASSERT_TRUE(moved.has_value());
  EXPECT_EQ(moved->parts[0].name, "corrector");
  EXPECT_EQ(without_part(*with, "corrector")->parts.size(), 2U);
  EXPECT_FALSE(with_part(train, 2, corrector()).has_value());
  EXPECT_FALSE(without_part(train, "prism").has_value());
  EXPECT_FALSE(with_part_moved(train, "prism", 0).has_value());
}

TEST(Train, ImpossibleTrainsAreRefusedWithAWord) {
  const auto fails = [](const std::vector<Part>& parts) {
    const auto result = solve({parts}, kScope);
    return !result.has_value() && !result.error().what.empty() && !result.error().to_do.empty();
  };
  EXPECT_TRUE(fails({}));
  EXPECT_TRUE(fails({spacer(10.0)}));
  EXPECT_TRUE(fails({camera(), camera()}));
  EXPECT_TRUE(fails({spacer(-1.0), camera()}));
  EXPECT_TRUE(fails({spacer(std::nan("")), camera()}));
  Part glass = filter();
  glass.index = 0.9;
  EXPECT_TRUE(fails({glass, camera()}));
  glass = filter();
  glass.transmission = 0.0;
  EXPECT_TRUE(fails({glass, camera()}));
  Part lens = amplifier();
  lens.lenses = {{Length::mm(0.0), Length()}};
  EXPECT_TRUE(fails({lens, camera()}));
  lens.lenses = {{Length::mm(0.0), Length::mm(20.0)}};  // no converging light is made converging in 50 mm by this
  EXPECT_TRUE(fails({lens, camera()}));
}

}  // namespace
}  // namespace halfarc
