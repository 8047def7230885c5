// The refractive index of air against published values.
#include <gtest/gtest.h>

#include <vector>

#include "halfarc/air/humidity.h"
#include "halfarc/air/refractivity.h"

namespace halfarc {
namespace {

constexpr double kPaperCo2 = 450.0;

Weather weather(double celsius, double pascal, double humidity) {
  return {Pressure::pa(pascal), Temperature::celsius(celsius), humidity};
}

// NIST engineering metrology toolbox, documentation of the index of refraction of air, table 1 (450 umol/mol CO2).
struct NistRow {
  double celsius, percent, kilopascal, nm, ciddor, edlen;
};
const std::vector<NistRow> kNist = {
    {20, 0, 101.325, 633, 1.000271800, 1.000271799},  {20, 0, 60, 633, 1.000160924, 1.000160920},
    {20, 0, 120, 633, 1.000321916, 1.000321918},      {50, 0, 100, 633, 1.000243285, 1.000243270},
    {5, 0, 100, 633, 1.000282756, 1.000282750},       {-40, 0, 100, 633, 1.000337580, 1.000337471},
    {50, 100, 120, 633, 1.000287924, 1.000287864},    {40, 75, 120, 633, 1.000299418, 1.000299406},
    {20, 100, 100, 633, 1.000267394, 1.000267394},    {40, 100, 110, 1700, 1.000270247, 1.000270237},
    {20, 0, 101.325, 1700, 1.000268479, 1.000268483}, {40, 100, 110, 300, 1.000289000, 1.000288922},
    {20, 0, 101.325, 300, 1.000286581, 1.000286579},  {-40, 0, 120, 300, 1.000427233, 1.000427072},
};

TEST(AirIndex, FourteenConditionsOfNist) {
  for (const NistRow& row : kNist) {
    const Weather air = weather(row.celsius, 1000.0 * row.kilopascal, row.percent / 100.0);
    const Length wavelength = Length::nm(row.nm);
    EXPECT_NEAR(1.0 + refractivity(wavelength, air, kPaperCo2), row.ciddor, 1e-9) << row.celsius << " " << row.nm;
    EXPECT_NEAR(1.0 + edlen_refractivity(wavelength, air), row.edlen, 1e-9) << row.celsius << " " << row.nm;
  }
}

// [Ciddor1996] tables 1 (dry) and 3 (75 and 100 % humidity) as (n - 1) 1e8 at 633 nm; the paper prints 19996.5 where
// its formula gives 19896.5. The paper's own saturation pressure is 2 Pa from the international one at 50 degC.
TEST(AirIndex, Tables1And3OfCiddor1996) {
  struct Row {
    double celsius, pascal, humidity, published;
  };
  const std::vector<Row> rows = {
      {20, 80e3, 0, 21458.0},     {20, 100e3, 0, 26824.4},   {20, 120e3, 0, 32191.6},    {10, 100e3, 0, 27774.7},
      {30, 100e3, 0, 25937.2},    {20, 80e3, 0.75, 21394.0}, {20, 120e3, 0.75, 32127.8}, {40, 80e3, 0.75, 19896.5},
      {40, 120e3, 0.75, 29941.8}, {50, 80e3, 1.0, 19058.4},  {50, 120e3, 1.0, 28792.4},
  };
  for (const Row& row : rows) {
    const double n = refractivity(Length::nm(633.0), weather(row.celsius, row.pascal, row.humidity), kPaperCo2);
    EXPECT_NEAR(n * 1e8, row.published, row.humidity > 0.0 ? 0.15 : 0.06) << row.celsius << " " << row.pascal;
  }
}

// [Ciddor1996] table 2: laboratory air as measured by Birch and Jones (1994), with its vapour pressure and CO2.
TEST(AirIndex, Table2OfCiddor1996AndItsMeasurements) {
  struct Row {
    double celsius, pascal, vapour_pa, co2_ppm, formula, measured;
  };
  const std::vector<Row> rows = {
      {19.526, 102094.8, 1065, 510, 27392.9, 27392.3}, {19.173, 102993.0, 641, 450, 27682.4, 27683.4},
      {19.173, 103006.0, 642, 440, 27685.8, 27686.9},  {19.188, 102918.8, 706, 450, 27658.7, 27659.1},
      {19.189, 102927.8, 708, 440, 27660.8, 27661.4},  {19.532, 103603.2, 986, 600, 27802.0, 27802.1},
      {19.534, 103596.2, 962, 600, 27800.8, 27800.3},  {19.534, 103599.2, 951, 610, 27802.2, 27801.8},
  };
  for (const Row& row : rows) {
    // The table's vapour pressure is the humidity's share of saturation; the equation adds the enhancement factor.
    const Pressure saturation = saturation_pressure(Temperature::celsius(row.celsius), Over::water);
    const double humidity = Pressure::pa(row.vapour_pa) / saturation;
    const double n = refractivity(Length::nm(633.0), weather(row.celsius, row.pascal, humidity), row.co2_ppm);
    EXPECT_NEAR(n * 1e8, row.formula, 0.1) << row.pascal;
    EXPECT_NEAR(n * 1e8, row.measured, 2.0) << row.pascal;
  }
}

// The two equations rest on different measurements; on a night outdoors they differ by no more than a few parts in 1e8.
TEST(AirIndex, TwoOpinionsAgreeOutdoors) {
  for (const double celsius : {0.0, 10.0, 20.0}) {
    for (const double nm : {350.0, 400.0, 550.0, 700.0, 900.0}) {
      const Weather air = weather(celsius, 100e3, 0.7);
      EXPECT_NEAR(refractivity(Length::nm(nm), air, kPaperCo2), edlen_refractivity(Length::nm(nm), air), 3e-8)
          << celsius << " " << nm;
    }
  }
}

}  // namespace
}  // namespace halfarc
