// The vapour in the air against published values.
#include <gtest/gtest.h>

#include <vector>

#include "halfarc/air/humidity.h"

namespace halfarc {
namespace {

// [IAPWS1997] table 35: 0.353658941e-2 MPa at 300 K (the verification value within the range used here).
TEST(Humidity, VerificationValueOfIapws1997) {
  EXPECT_NEAR(saturation_pressure(Temperature::kelvin(300.0), Over::water).pa(), 3536.58941, 1e-5);
  EXPECT_NEAR(saturation_pressure(Temperature::kelvin(500.0), Over::water).pa(), 2.63889776e6, 0.01);
  EXPECT_NEAR(saturation_pressure(Temperature::kelvin(600.0), Over::water).pa(), 12.3443146e6, 0.1);
}

// ASHRAE Handbook of Fundamentals 2017, chapter 1, table 3: over ice below 0 degC, pascal.
TEST(Humidity, SaturationOfAshrae2017) {
  struct Row {
    double celsius, pascal;
  };
  const std::vector<Row> rows = {{-60, 1.08}, {-20, 103.24}, {-5, 401.74}, {5, 872.6}, {25, 3169.7}, {50, 12351.3}};
  for (const Row& row : rows) {
    const double pa = saturation_pressure(Temperature::celsius(row.celsius)).pa();
    EXPECT_NEAR(pa / row.pascal, 1.0, row.pascal < 2.0 ? 0.005 : 3e-4) << row.celsius;
  }
}

// [Alduchov1996]: the Magnus formula lies within 0.4 % of the international values where nights are.
TEST(Humidity, MagnusWithinItsStatedError) {
  for (const double celsius : {-30.0, -20.0, -10.0, 0.0, 10.0, 20.0, 30.0, 40.0}) {
    const Temperature t = Temperature::celsius(celsius);
    EXPECT_NEAR(magnus_pressure(t, Over::water) / saturation_pressure(t, Over::water), 1.0, 4e-3) << celsius;
    if (celsius < 0.0) {
      EXPECT_NEAR(magnus_pressure(t, Over::ice) / saturation_pressure(t, Over::ice), 1.0, 4e-3) << celsius;
    }
  }
}

// Dew points worked out from the constants of [Alduchov1996], through Magnus on both sides.
TEST(Humidity, DewPointsOfAlduchov1996) {
  struct Row {
    double celsius, humidity, dew;
  };
  const std::vector<Row> rows = {{20, 0.5, 9.261}, {20, 0.8, 16.444}, {10, 0.9, 8.435},  {10, 0.7, 4.779},
                                 {5, 0.85, 2.688}, {0, 0.8, -3.039},  {-5, 0.7, -9.626}, {12, 0.95, 11.223}};
  for (const Row& row : rows) {
    const Temperature t = Temperature::celsius(row.celsius);
    EXPECT_NEAR(dew_point(row.humidity * magnus_pressure(t, Over::water)).celsius(), row.dew, 6e-4) << row.celsius;
    const Weather weather{Pressure::hpa(1013.25), t, row.humidity};
    EXPECT_NEAR(dew_point(vapour_pressure(weather)).celsius(), row.dew, 0.05) << row.celsius;
  }
}

// ASHRAE Handbook of Fundamentals 2017, chapter 1, example 1: 40 degC dry, 20 degC wet, 101325 Pa give a dew point of
// 7 degC and 14 % humidity. (The handbook's thermodynamic wet bulb and a ventilated one differ by half a percent.)
TEST(Humidity, WetBulbOfAshraeExample1) {
  const Temperature dry = Temperature::celsius(40.0);
  const auto humidity = humidity_from_wet_bulb(dry, Temperature::celsius(20.0), Pressure::pa(101325.0));
  ASSERT_TRUE(humidity.has_value());
  EXPECT_NEAR(*humidity, 0.14, 0.01);
  EXPECT_NEAR(dew_point(*humidity * magnus_pressure(dry, Over::water)).celsius(), 7.0, 0.6);
}

}  // namespace
}  // namespace halfarc
