#include "halfarc/air/tube.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/air/heat_transfer.h"

namespace halfarc {
namespace {

TemperatureDifference kelvin(double k) { return TemperatureDifference::kelvin(k); }
Temperature celsius(double t) { return Temperature::celsius(t); }
TubeState both_at(double t) { return {celsius(t), celsius(t)}; }

Outside overcast(TemperatureCurve air) { return {std::move(air), Pressure::hpa(8.6), 1.0}; }

// Constants that do not depend on the difference, and no sky: then everything is exponentials.
TubeHeat linear(double mirror_j_per_k, double tube_j_per_k, double inside, double outside) {
  return {mirror_j_per_k, tube_j_per_k, {1.0, 0.0, 0.0, inside}, {}, {1.0, 0.0, 0.0, outside}, 0.0};
}

TEST(Tube, MirrorInAVastTubeIsAnExponential) {
  const TubeHeat heat = linear(1200.0, 1e12, 0.4, 1e-9);
  const TubeState start{celsius(20.0), celsius(10.0)};
  const auto course =
      cool(heat, start, overcast(TemperatureCurve::steady(celsius(10.0))), Duration::s(0.0), Duration::hours(3.0));
  ASSERT_EQ(course.size(), 181u);
  for (const CoolingStep& step : course) {
    EXPECT_NEAR(step.mirror_over_air().kelvin(), 10.0 * std::exp(-step.time.s() / 3000.0), 1e-4);
  }
}

// Both lumps: the sum of the two exponentials that solve the linear pair of equations.
TEST(Tube, TwoLumpsAreTwoExponentials) {
  const double cm = 1200.0, ct = 2800.0, gi = 0.4, go = 4.0;
  const double a = gi / cm, b = gi / ct, c = (gi + go) / ct;
  const double root = std::sqrt((a + c) * (a + c) - 4.0 * (a * c - a * b));
  const double slow = 0.5 * (a + c - root), fast = 0.5 * (a + c + root);
  // Mirror p exp(-slow t) + q exp(-fast t) above the air, tube (1 - rate / a) times that; both start at 10.
  const double q = 10.0 * slow / (slow - fast), p = 10.0 - q;
  const auto course = cool(linear(cm, ct, gi, go), both_at(20.0), overcast(TemperatureCurve::steady(celsius(10.0))),
                           Duration::s(0.0), Duration::hours(3.0));
  for (const CoolingStep& step : course) {
    const double t = step.time.s();
    const double mirror = p * std::exp(-slow * t) + q * std::exp(-fast * t);
    const double tube = p * (1.0 - slow / a) * std::exp(-slow * t) + q * (1.0 - fast / a) * std::exp(-fast * t);
    EXPECT_NEAR(step.tube.mirror.celsius(), 10.0 + mirror, 1e-4);
    EXPECT_NEAR(step.tube.tube_air.celsius(), 10.0 + tube, 1e-4);
  }
}

TEST(Tube, StepDoesNotMatter) {
  const Outside outside{TemperatureCurve::changing(celsius(12.0), kelvin(-1.0))};
  const auto fine =
      cool(tube_heat(), both_at(20.0), outside, Duration::hours(1.0), Duration::hours(2.0), Duration::s(10.0));
  const auto coarse =
      cool(tube_heat(), both_at(20.0), outside, Duration::hours(1.0), Duration::hours(2.0), Duration::minutes(10.0));
  EXPECT_NEAR((fine.back().tube.mirror - coarse.back().tube.mirror).kelvin(), 0.0, 1e-4);
  EXPECT_NEAR(fine.back().time.hours(), 3.0, 1e-12);
  EXPECT_NEAR(fine.back().outside.celsius(), 9.0, 1e-9);
}

// Under a clear sky the tube ends where what it gains from the air is what it loses to the sky: below the air.
TEST(Tube, ClearSkyDrawsItBelowTheAir) {
  const TubeHeat heat = tube_heat();
  const Outside clear{TemperatureCurve::steady(celsius(10.0))};
  const CoolingStep end =
      cool(heat, both_at(10.0), clear, Duration::s(0.0), Duration::hours(24.0), Duration::minutes(10.0)).back();
  const TemperatureDifference below = end.outside - end.tube.tube_air;
  EXPECT_GT(below.kelvin(), 1.0);
  EXPECT_LT(below.kelvin(), 5.0);
  const Temperature sky = sky_temperature(end.outside, clear.vapour);
  EXPECT_NEAR(conductance_w_per_k(heat.tube_to_air, below) * below.kelvin(),
              heat.sky_m2 * sky_loss_w_per_m2(end.tube.tube_air, sky), 0.05);
  EXPECT_NEAR(end.mirror_over_air().kelvin(), 0.0, 0.02);
}

TEST(Tube, FanCoolsFasterAndWrapCalmsTheAir) {
  TubeBuild fan, wrap;
  fan.fan = Speed::m_per_s(1.0);
  wrap.wrap = Length::mm(10.0);
  EXPECT_LT(mirror_time_constant(tube_heat(fan), kelvin(2.0)), 0.7 * mirror_time_constant(tube_heat(), kelvin(2.0)));
  const Outside outside = overcast(TemperatureCurve::steady(celsius(10.0)));
  const auto worst = [&](const TubeBuild& build) {
    TemperatureDifference most;
    for (const CoolingStep& step :
         cool(tube_heat(build), both_at(20.0), outside, Duration::s(0.0), Duration::hours(4.0))) {
      most = std::max(most, step.mirror_over_air());
    }
    return most;
  };
  EXPECT_LT(worst(wrap), 0.75 * worst(TubeBuild{}));
}

TEST(Tube, BiggerTubesTakeLonger) {
  TubeBuild big;
  big.aperture = Length::mm(279.0);
  big.mirror_thickness = Length::mm(28.0);
  EXPECT_GT(mirror_time_constant(tube_heat(big), kelvin(5.0)), 1.3 * mirror_time_constant(tube_heat(), kelvin(5.0)));
}

// An open cell is a second way out: with the tube at the temperature of the air the two conductances add.
TEST(Tube, OpenCellCoolsFromBehindToo) {
  TubeHeat heat = linear(1200.0, 1e12, 0.2, 1e-9);
  heat.mirror_to_air = {2.0, 0.0, 0.2, 0.1};
  const TubeState start{celsius(20.0), celsius(10.0)};
  const CoolingStep end =
      cool(heat, start, overcast(TemperatureCurve::steady(celsius(10.0))), Duration::s(0.0), Duration::hours(1.0))
          .back();
  EXPECT_NEAR(end.mirror_over_air().kelvin(), 10.0 * std::exp(-3600.0 / 1500.0), 1e-4);
  EXPECT_NEAR(mirror_time_constant(heat, kelvin(4.0)).s(), 1500.0, 1e-9);
  TubeBuild open;
  open.open_cell = true;
  EXPECT_LT(mirror_time_constant(tube_heat(open), kelvin(3.0)), 0.8 * mirror_time_constant(tube_heat(), kelvin(3.0)));
}

TEST(Tube, TakesTheOwnersTimeConstant) {
  const TubeHeat own = with_time_constant(tube_heat(), Duration::minutes(72.0), kelvin(3.0));
  EXPECT_NEAR(mirror_time_constant(own, kelvin(3.0)).minutes(), 72.0, 1e-9);
  EXPECT_EQ(own.mirror_j_per_k, tube_heat().mirror_j_per_k);
}

TEST(Tube, StillAirPassesMoreHeatAtLargerDifferences) {
  const HeatPath path{2.0, 3.0, 0.0, 1.0};
  EXPECT_NEAR(conductance_w_per_k(path, kelvin(1.0)), 8.0, 1e-12);
  EXPECT_NEAR(conductance_w_per_k(path, kelvin(-16.0)), 14.0, 1e-12);
  const HeatPath fanned{2.0, 3.0, 9.0, 1.0};
  EXPECT_NEAR(conductance_w_per_k(fanned, kelvin(1.0)), 20.0, 1e-12);
}

// [Racine1991] (from memory): 0.40" dT^1.2.
TEST(MirrorSeeing, LawOfRacine1991) {
  EXPECT_NEAR(mirror_seeing(kelvin(1.0)).value.arcsec(), 0.40, 1e-12);
  EXPECT_NEAR(mirror_seeing(kelvin(2.0)).value.arcsec(), 0.919, 1e-3);
  EXPECT_NEAR(mirror_seeing(kelvin(2.0)).sigma.arcsec(), 0.459, 1e-3);
  EXPECT_EQ(mirror_seeing(kelvin(-1.0)).value.arcsec(), 0.0);
}

}  // namespace
}  // namespace halfarc
