#include "halfarc/air/settling.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

using Verdict = Settling::Verdict;

TemperatureDifference kelvin(double k) { return TemperatureDifference::kelvin(k); }
Temperature celsius(double t) { return Temperature::celsius(t); }
TubeState both_at(double t) { return {celsius(t), celsius(t)}; }
constexpr Duration kStart = Duration::s(0.0);

// Common practice: this class of closed tube takes about two hours after the usual step from indoors to outdoors. Taken
// as 10 K, to within 1 K of the air in the tube, 1.5 to 2.75 hours; nothing in the constants was fitted to that.
TEST(Settling, CommonPracticeAboutTwoHours) {
  for (const double cloud : {0.0, 0.5, 1.0}) {
    for (const double breeze : {0.5, 1.0, 2.0}) {
      TubeBuild build;
      build.breeze = Speed::m_per_s(breeze);
      const Outside outside{TemperatureCurve::steady(celsius(10.0)), Pressure::hpa(8.6), cloud};
      const Settling told = settle(tube_heat(build), both_at(20.0), outside, kelvin(1.0), kStart, Duration::hours(8.0));
      ASSERT_TRUE(told.after.has_value());
      EXPECT_EQ(told.verdict, Verdict::settles);
      EXPECT_GT(told.after->hours(), 1.5) << cloud << " " << breeze;
      EXPECT_LT(told.after->hours(), 2.75) << cloud << " " << breeze;
    }
  }
}

TubeBuild newtonian() {
  TubeBuild build;
  build.open_cell = true;
  build.corrector_thickness = Length::mm(0.0);
  build.castings_kg = 0.5;
  build.tube_length = Length::mm(1000.0);
  build.wall = Length::mm(0.8);
  build.mirror_thickness = Length::mm(25.0);
  return build;
}

// Common practice: an open Newtonian of this size takes about an hour, 0.75 to 1.75 hours to within 1 K.
TEST(Settling, CommonPracticeAboutAnHourForAnOpenTube) {
  for (const double cloud : {0.0, 1.0}) {
    const Outside outside{TemperatureCurve::steady(celsius(10.0)), Pressure::hpa(8.6), cloud};
    const TubeHeat heat = tube_heat(newtonian());
    const Settling told = settle(heat, both_at(20.0), outside, kelvin(1.0), kStart, Duration::hours(8.0));
    ASSERT_TRUE(told.after.has_value());
    EXPECT_GT(told.after->hours(), 0.75);
    EXPECT_LT(told.after->hours(), 1.75);
  }
}

// A thin bare tube on a calm clear night stays below its mirror however long one waits; foam round it helps.
TEST(Settling, TellsATubeThatTheSkyKeepsCold) {
  const Outside clear{TemperatureCurve::steady(celsius(10.0))};
  TubeBuild calm = newtonian();
  calm.breeze = Speed::m_per_s(0.3);
  const Settling bare = settle(tube_heat(calm), both_at(20.0), clear, kelvin(1.0), kStart, Duration::hours(8.0));
  EXPECT_EQ(bare.verdict, Verdict::cold_tube);
  calm.wrap = Length::mm(10.0);
  const Settling wrapped = settle(tube_heat(calm), both_at(20.0), clear, kelvin(1.0), kStart, Duration::hours(8.0));
  EXPECT_LT(wrapped.residual, 0.85 * bare.residual);
}

// Common practice: half a kelvin takes longer, a fan takes about half as long.
TEST(Settling, CommonPracticeFanHalvesTheWait) {
  const Outside outside{TemperatureCurve::steady(celsius(10.0))};
  TubeBuild fan;
  fan.fan = Speed::m_per_s(1.0);
  const auto wait = [&](const TubeBuild& build, double within) {
    return settle(tube_heat(build), both_at(20.0), outside, kelvin(within), kStart, Duration::hours(8.0)).after.value();
  };
  EXPECT_NEAR(wait(fan, 1.0) / wait({}, 1.0), 0.5, 0.1);
  EXPECT_GT(wait({}, 0.5), 1.2 * wait({}, 1.0));
}

// Air that falls steadily: the mirror ends a distance of rate times time constant above it.
TEST(Settling, LagIsRateTimesTimeConstant) {
  const TubeHeat linear{1200.0, 2800.0, {1.0, 0.0, 0.0, 0.4}, {}, {1.0, 0.0, 0.0, 4.0}, 0.0};
  EXPECT_NEAR(lag_behind(linear, kelvin(1.5)).kelvin(), 1.5 / 3600.0 * 3000.0, 1e-9);
  EXPECT_NEAR(lag_behind(linear, kelvin(-1.5)).kelvin(), -1.25, 1e-9);
  const Outside falling{TemperatureCurve::changing(celsius(10.0), kelvin(-1.5)), Pressure::hpa(8.6), 1.0};
  const Settling told = settle(linear, both_at(10.0), falling, kelvin(1.0), kStart, Duration::hours(12.0));
  EXPECT_NEAR(told.residual.kelvin(), 1.25, 1e-3);
  EXPECT_NEAR(told.lag.kelvin(), 1.25, 1e-6);

  const TubeHeat real = tube_heat();
  const TemperatureDifference lag = lag_behind(real, kelvin(2.0));
  EXPECT_NEAR(lag.kelvin(), 2.0 * mirror_time_constant(real, lag).hours(), 1e-6);
}

TEST(Settling, NeverSettlesInAirThatFallsTooFast) {
  const Outside falling{TemperatureCurve::changing(celsius(15.0), kelvin(-2.0))};
  const Settling told = settle(tube_heat(), both_at(22.0), falling, kelvin(0.5), kStart, Duration::hours(8.0));
  EXPECT_EQ(told.verdict, Verdict::falling_air);
  EXPECT_FALSE(told.after.has_value());
  EXPECT_NEAR(told.residual.kelvin(), told.lag.kelvin(), 0.4);
  TubeBuild fan;
  fan.fan = Speed::m_per_s(2.0);
  EXPECT_LT(lag_behind(tube_heat(fan), kelvin(2.0)), 0.5 * told.lag);
}

TEST(Settling, SaysWhenOnlyTimeIsShort) {
  const Outside steady{TemperatureCurve::steady(celsius(5.0))};
  const Settling told = settle(tube_heat(), both_at(22.0), steady, kelvin(0.5), kStart, Duration::hours(1.0));
  EXPECT_EQ(told.verdict, Verdict::needs_longer);
  EXPECT_GT(told.residual.kelvin(), 2.0);
}

TEST(Settling, IsAtOnceWhenNothingDiffers) {
  const Outside outside{TemperatureCurve::steady(celsius(10.0)), Pressure::hpa(8.6), 1.0};
  const Settling told = settle(tube_heat(), both_at(10.0), outside, kelvin(0.5), kStart, Duration::hours(2.0));
  ASSERT_TRUE(told.after.has_value());
  EXPECT_EQ(told.after->s(), 0.0);
}

// Exact in the limit: ln(10 / 1) time constants from 10 K to 1 K.
TEST(Settling, TimeOfAnExponential) {
  const TubeHeat vast{1200.0, 1e12, {1.0, 0.0, 0.0, 0.4}, {}, {1.0, 0.0, 0.0, 1e-9}, 0.0};
  const Outside outside{TemperatureCurve::steady(celsius(10.0)), Pressure::hpa(8.6), 1.0};
  const TubeState start{celsius(20.0), celsius(10.0)};
  const Settling told = settle(vast, start, outside, kelvin(1.0), kStart, Duration::hours(6.0));
  ASSERT_TRUE(told.after.has_value());
  EXPECT_NEAR(told.after->s(), 3000.0 * std::log(10.0), 0.5);
}

}  // namespace
}  // namespace halfarc
