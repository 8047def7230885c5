#include "halfarc/air/humidity.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

Temperature celsius(double t) { return Temperature::celsius(t); }

TEST(Humidity, DewAndFrostPointsTurnTheFormulaRound) {
  for (const double t : {-25.0, -8.0, -0.1, 0.0, 7.5, 24.0}) {
    EXPECT_NEAR(dew_point(magnus_pressure(celsius(t), Over::water)).celsius(), t, 1e-9);
    EXPECT_NEAR(frost_point(magnus_pressure(celsius(t), Over::ice)).celsius(), t, 1e-9);
  }
}

TEST(Humidity, FrostFormsSoonerThanDewBelowFreezing) {
  const Pressure dry = magnus_pressure(celsius(-8.0), Over::water);
  EXPECT_GT(deposit_point(dry), dew_point(dry));
  EXPECT_EQ(deposit_point(dry), frost_point(dry));
  const Pressure moist = magnus_pressure(celsius(4.0), Over::water);
  EXPECT_EQ(deposit_point(moist), dew_point(moist));
}

TEST(Humidity, SupercooledWaterJoinsAtFreezingAndLiesAboveIce) {
  EXPECT_NEAR(saturation_pressure(celsius(-1e-6), Over::water) / saturation_pressure(celsius(1e-6), Over::water), 1.0,
              1e-6);
  EXPECT_GT(saturation_pressure(celsius(-10.0), Over::water), saturation_pressure(celsius(-10.0), Over::ice));
}

TEST(Humidity, DryAirHasSomeDewPointThatIsFinite) { EXPECT_TRUE(dew_point(Pressure::pa(0.0)).celsius() < -50.0); }

// Two worked readings with the constants of [WMO2018]: 20/15 degC at 1013.25 hPa and 15/10 at 1000 hPa.
TEST(Humidity, WetBulbOfWmo) {
  const auto warm = humidity_from_wet_bulb(celsius(20.0), celsius(15.0), Pressure::hpa(1013.25));
  const auto cool = humidity_from_wet_bulb(celsius(15.0), celsius(10.0), Pressure::hpa(1000.0));
  ASSERT_TRUE(warm.has_value() && cool.has_value());
  EXPECT_NEAR(*warm, 0.586, 1e-3);
  EXPECT_NEAR(*cool, 0.527, 1e-3);
  EXPECT_NEAR(*humidity_from_wet_bulb(celsius(9.0), celsius(9.0), Pressure::hpa(1000.0)), 1.0, 1e-9);
}

TEST(Humidity, RefusesImpossibleThermometers) {
  const auto swapped = humidity_from_wet_bulb(celsius(10.0), celsius(12.0), Pressure::hpa(1000.0));
  ASSERT_FALSE(swapped.has_value());
  EXPECT_NE(swapped.error().line().find("warmer"), std::string::npos);
  const auto too_dry = humidity_from_wet_bulb(celsius(30.0), celsius(2.0), Pressure::hpa(1000.0));
  ASSERT_FALSE(too_dry.has_value());
  EXPECT_NE(too_dry.error().line().find("colder"), std::string::npos);
}

}  // namespace
}  // namespace halfarc
