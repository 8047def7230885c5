#include "halfarc/air/heat_transfer.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/air/humidity.h"

namespace halfarc {
namespace {

Temperature celsius(double t) { return Temperature::celsius(t); }

// [ChurchillChu1975], laminar: Nu = 0.68 + 0.670 Ra^(1/4) / [1 + (0.492/Pr)^(9/16)]^(4/9), air at 15 degC (from
// memory).
TEST(HeatTransfer, StillAirAgreesWithChurchillAndChu) {
  constexpr double kK = 0.0253, kNu = 1.47e-5, kPr = 0.71, kHeight = 0.235;
  for (const double kelvin : {1.0, 2.0, 5.0, 10.0}) {
    const double rayleigh = 9.81 / 288.0 * kelvin * std::pow(kHeight, 3) / (kNu * kNu) * kPr;
    const double nusselt =
        0.68 + 0.670 * std::pow(rayleigh, 0.25) / std::pow(1.0 + std::pow(0.492 / kPr, 9.0 / 16.0), 4.0 / 9.0);
    const double ours = still_air_w_per_m2k(Length::m(kHeight)) * std::pow(kelvin, 0.25);
    EXPECT_NEAR(ours / (nusselt * kK / kHeight), 1.0, 0.05) << kelvin;
  }
}

// [Incropera2007] table 1.1: gases in free convection 2 to 25 W/m2K, in forced convection 25 to 250 (from memory).
TEST(HeatTransfer, LiesInTheRangesOfTheHandbook) {
  EXPECT_GT(still_air_w_per_m2k(Length::m(0.2)), 2.0);
  EXPECT_LT(still_air_w_per_m2k(Length::m(0.2)) * std::pow(10.0, 0.25), 25.0);
  EXPECT_NEAR(moving_air_w_per_m2k(Speed::m_per_s(10.0), Length::m(0.2)), 28.0, 4.0);
  EXPECT_NEAR(radiation_w_per_m2k(0.9, Temperature::kelvin(283.0)), 4.63, 0.01);
}

TEST(HeatTransfer, MovingAirGrowsAsTheRootOfItsSpeed) {
  const Length plate = Length::m(0.2);
  EXPECT_NEAR(moving_air_w_per_m2k(Speed::m_per_s(4.0), plate) / moving_air_w_per_m2k(Speed::m_per_s(1.0), plate), 2.0,
              1e-12);
  EXPECT_EQ(moving_air_w_per_m2k(Speed::m_per_s(0.0), plate), 0.0);
}

// Three formulas of different origin for a clear sky: [Prata1996], used here; [Brutsaert1975], 1.24 (e/T)^(1/7); and
// [BerdahlMartin1984] by dew point in degC, 0.711 + 0.56 (d/100) + 0.73 (d/100)^2 (both from memory).
TEST(HeatTransfer, ThreeOpinionsOnAClearSky) {
  for (const double t : {0.0, 5.0, 10.0, 15.0, 20.0}) {
    for (const double humidity : {0.5, 0.7, 0.9}) {
      const Pressure vapour = humidity * saturation_pressure(celsius(t), Over::water);
      const double ours = sky_emissivity(celsius(t), vapour);
      const double dew = dew_point(vapour).celsius() / 100.0;
      EXPECT_NEAR(ours, 1.24 * std::pow(vapour.hpa() / celsius(t).kelvin(), 1.0 / 7.0), 0.06) << t << " " << humidity;
      EXPECT_NEAR(ours, 0.711 + 0.56 * dew + 0.73 * dew * dew, 0.06) << t << " " << humidity;
    }
  }
}

TEST(HeatTransfer, CloudWarmsTheSky) {
  const Temperature air = celsius(10.0);
  const Pressure vapour = Pressure::hpa(8.6);
  EXPECT_NEAR(sky_temperature(air, vapour).celsius(), -8.0, 2.0);
  EXPECT_NEAR(sky_temperature(air, vapour, 1.0).celsius(), 10.0, 1e-9);
  EXPECT_GT(sky_temperature(air, vapour, 0.5), sky_temperature(air, vapour));
  EXPECT_NEAR(sky_loss_w_per_m2(air, air), 0.0, 1e-12);
}

}  // namespace
}  // namespace halfarc
