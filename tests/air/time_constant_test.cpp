#include "halfarc/air/time_constant.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/air/tube.h"
#include "halfarc/base/random.h"

namespace halfarc {
namespace {

constexpr double kTau = 55.0;  // minutes

// A mirror at 10 K above air that falls by 1 K an hour, read `count` times `minutes` apart: the exact course.
std::vector<TubeReading> evening(int count, double minutes, double tau_minutes = kTau) {
  std::vector<TubeReading> readings;
  const double per_minute = -1.0 / 60.0;
  const double lag = -per_minute * tau_minutes;
  for (int i = 0; i < count; ++i) {
    const double t = i * minutes;
    const double air = 12.0 + per_minute * t;
    const double mirror = air + lag + (10.0 - lag) * std::exp(-t / tau_minutes);
    readings.push_back({Duration::minutes(t), Temperature::celsius(mirror), Temperature::celsius(air)});
  }
  return readings;
}

TEST(TimeConstant, OfAnExactEveningIsExact) {
  for (const double tau : {12.0, 55.0, 140.0}) {
    const auto fit = fit_time_constant(evening(8, 15.0, tau));
    ASSERT_TRUE(fit.has_value());
    EXPECT_NEAR(fit->value.minutes(), tau, 1e-3);
    EXPECT_GT(fit->sigma.minutes(), 0.001 * tau);
  }
}

// The stated error against the scatter of 400 evenings read to 0.1 K.
TEST(TimeConstant, SaysHowSureItIs) {
  double squares = 0.0, mean = 0.0;
  constexpr int kEvenings = 400;
  for (int k = 0; k < kEvenings; ++k) {
    Rng rng = Rng(20260101).child("evening", static_cast<std::uint64_t>(k));
    auto readings = evening(9, 15.0);
    for (TubeReading& r : readings) r.mirror = r.mirror + TemperatureDifference::kelvin(0.1 * rng.normal());
    const auto fit = fit_time_constant(readings);
    ASSERT_TRUE(fit.has_value());
    const double z = (fit->value.minutes() - kTau) / fit->sigma.minutes();
    squares += z * z / kEvenings;
    mean += z / kEvenings;
  }
  EXPECT_NEAR(mean, 0.0, 0.15);
  EXPECT_GT(squares, 0.75);  // the larger of two estimates is a little cautious
  EXPECT_LT(squares, 1.1);
}

// The whole model read by a thermometer: still air is not quite one time constant, and the fit finds it in between.
TEST(TimeConstant, OfTheModelTubeLiesBetweenItsExtremes) {
  const TubeHeat heat = tube_heat();
  const TubeState start{Temperature::celsius(20.0), Temperature::celsius(20.0)};
  const auto course = cool(heat, start, Outside{}, Duration::s(0.0), Duration::hours(2.5), Duration::minutes(15.0));
  std::vector<TubeReading> readings;
  for (const CoolingStep& step : course) readings.push_back({step.time, step.tube.mirror, step.tube.tube_air});
  const auto fit = fit_time_constant(readings);
  ASSERT_TRUE(fit.has_value());
  EXPECT_GT(fit->value, mirror_time_constant(heat, TemperatureDifference::kelvin(10.0)));
  EXPECT_LT(fit->value, mirror_time_constant(heat, TemperatureDifference::kelvin(1.0)));
}

TEST(TimeConstant, RefusesWhatCannotTell) {
  EXPECT_FALSE(fit_time_constant(evening(2, 30.0)).has_value());
  auto backwards = evening(4, 10.0);
  std::swap(backwards[1], backwards[2]);
  const auto order = fit_time_constant(backwards);
  ASSERT_FALSE(order.has_value());
  EXPECT_NE(order.error().line().find("reading 3"), std::string::npos);
  auto same = evening(5, 10.0);
  for (TubeReading& r : same) r.mirror = r.air;
  EXPECT_FALSE(fit_time_constant(same).has_value());
  auto away = evening(6, 10.0);
  for (std::size_t i = 0; i < away.size(); ++i) {
    away[i].mirror = away[i].air + TemperatureDifference::kelvin(2.0 + static_cast<double>(i));
  }
  EXPECT_FALSE(fit_time_constant(away).has_value());
}

}  // namespace
}  // namespace halfarc
