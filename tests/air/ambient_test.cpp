#include "halfarc/air/ambient.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

Duration hours(double h) { return Duration::hours(h); }
Temperature celsius(double t) { return Temperature::celsius(t); }

TEST(TemperatureCurve, IsStraightBetweenPointsAndLevelBeyond) {
  const auto curve =
      TemperatureCurve::through({{hours(1.0), celsius(12.0)}, {hours(3.0), celsius(8.0)}, {hours(4.0), celsius(7.0)}});
  ASSERT_TRUE(curve.has_value());
  EXPECT_NEAR(curve->at(hours(0.0)).celsius(), 12.0, 1e-12);
  EXPECT_NEAR(curve->at(hours(2.0)).celsius(), 10.0, 1e-12);
  EXPECT_NEAR(curve->at(hours(3.5)).celsius(), 7.5, 1e-12);
  EXPECT_NEAR(curve->at(hours(9.0)).celsius(), 7.0, 1e-12);
  EXPECT_NEAR(curve->per_hour(hours(1.0), hours(3.0)).kelvin(), -2.0, 1e-12);
}

TEST(TemperatureCurve, ChangesSteadilyOrNotAtAll) {
  const auto falling = TemperatureCurve::changing(celsius(10.0), TemperatureDifference::kelvin(-1.5));
  EXPECT_NEAR(falling.at(hours(4.0)).celsius(), 4.0, 1e-12);
  EXPECT_NEAR(TemperatureCurve::steady(celsius(5.0)).at(hours(7.0)).celsius(), 5.0, 1e-12);
}

TEST(TemperatureCurve, RefusesWhatIsNoCourse) {
  EXPECT_FALSE(TemperatureCurve::through({}).has_value());
  const auto backwards = TemperatureCurve::through({{hours(2.0), celsius(9.0)}, {hours(1.0), celsius(8.0)}});
  ASSERT_FALSE(backwards.has_value());
  EXPECT_NE(backwards.error().line().find("temperature 2"), std::string::npos);
  EXPECT_FALSE(TemperatureCurve::through({{hours(1.0), celsius(-300.0)}}).has_value());
}

}  // namespace
}  // namespace halfarc
