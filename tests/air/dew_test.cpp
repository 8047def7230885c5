#include "halfarc/air/dew.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "halfarc/air/heat_transfer.h"
#include "halfarc/air/humidity.h"

namespace halfarc {
namespace {

constexpr Temperature kAir = Temperature::celsius(8.0);
constexpr Pressure kVapour = Pressure::hpa(9.0);

FrontGlass shielded(double mm) {
  FrontGlass glass;
  glass.shield = Length::mm(mm);
  return glass;
}

// [Incropera2007] table 13.2: two equal discs, one diameter apart, see 3 - 2 sqrt 2 of each other.
TEST(FrontGlass, SeesTheSkyThroughItsShield) {
  FrontGlass up = shielded(203.0);
  up.altitude = Angle::deg(90.0);
  EXPECT_NEAR(sky_view(up), 3.0 - 2.0 * std::numbers::sqrt2, 1e-12);
  up.shield = Length::mm(0.0);
  EXPECT_NEAR(sky_view(up), 1.0, 1e-12);
  FrontGlass level;
  level.altitude = Angle::deg(0.0);
  EXPECT_NEAR(sky_view(level), 0.5, 1e-12);
  EXPECT_NEAR(sky_view(shielded(1e-3)), sky_view(FrontGlass{}), 1e-3);
  EXPECT_LT(sky_view(shielded(300.0)), sky_view(shielded(150.0)));
}

// What the plate gets from air, surroundings and tube is what it gives to the sky, term by term.
TEST(FrontGlass, BalancesItsHeat) {
  const FrontGlass glass;
  const double k = undercooling(glass, kAir, kVapour).kelvin();
  const double still = 1.42 * std::pow(0.203, -0.25) * std::pow(k, 0.25);
  const double reynolds = 0.5 * 0.203 / 1.42e-5;
  const double moving = 0.664 * 0.025 / 0.203 * std::sqrt(reynolds) * std::cbrt(0.711);
  const double view = 0.5 * (1.0 + std::sin(40.0 * Angle::kRadPerDeg));
  const double per_kelvin = 4.0 * 5.670374419e-8 * std::pow(281.15, 3);
  const double gained = (std::max(still, moving) + still + per_kelvin * (0.9 * (1.0 - view) + 0.8)) * k;
  const double emissivity = sky_emissivity(kAir, kVapour);
  const double lost = 0.9 * view * 5.670374419e-8 * (std::pow(281.15 - k, 4) - emissivity * std::pow(281.15, 4));
  EXPECT_NEAR(gained / lost, 1.0, 1e-6);
}

TEST(FrontGlass, IsColderUnderAClearSkyAndWarmedByCloudShieldWindAndHeater) {
  const FrontGlass bare;
  const TemperatureDifference below = undercooling(bare, kAir, kVapour);
  EXPECT_GT(below.kelvin(), 2.0);
  EXPECT_LT(below.kelvin(), 6.0);
  EXPECT_NEAR(undercooling(bare, kAir, kVapour, 1.0).kelvin(), 0.0, 1e-9);
  EXPECT_LT(undercooling(shielded(203.0), kAir, kVapour), 0.4 * below);
  FrontGlass windy;
  windy.breeze = Speed::m_per_s(3.0);
  EXPECT_LT(undercooling(windy, kAir, kVapour), below);
  FrontGlass heated;
  heated.heater_w = 3.0;
  EXPECT_LT(undercooling(heated, kAir, kVapour).kelvin(), 0.0);
}

// Common practice: on a clear calm night at 85 % the bare front glass of a closed tube fogs, and a shield of one and a
// half apertures keeps it clear.
TEST(Dew, CommonPracticeOfShields) {
  const Weather damp{Pressure::hpa(1010.0), kAir, 0.85};
  EXPECT_LT(dew_margin({}, damp).margin.kelvin(), 0.0);
  const DewMargin kept = dew_margin(shielded(305.0), damp);
  EXPECT_GT(kept.margin.kelvin(), 1.0);
  EXPECT_GT(dew_margin({}, damp, 1.0).margin.kelvin(), 1.0);
  EXPECT_NEAR((kept.glass - kept.deposit).kelvin(), kept.margin.kelvin(), 1e-12);
  EXPECT_GT(kept.margin_sigma.kelvin(), 0.3);
  EXPECT_GT(dew_margin({}, damp).margin_sigma, kept.margin_sigma);
}

TEST(Dew, IsFrostBelowFreezing) {
  const Weather frosty{Pressure::hpa(1010.0), Temperature::celsius(-4.0), 0.8};
  const DewMargin told = dew_margin(shielded(203.0), frosty);
  EXPECT_EQ(told.deposit, frost_point(vapour_pressure(frosty)));
  EXPECT_GT(told.deposit, dew_point(vapour_pressure(frosty)));
}

// Air that falls by 1 K an hour takes the plate with it: the margin in kelvin is the wait in hours.
TEST(Dew, ComesWhenTheFallHasUsedUpTheMargin) {
  const FrontGlass glass = shielded(305.0);
  const Weather now{Pressure::hpa(1010.0), kAir, 0.8};
  const Outside outside{TemperatureCurve::changing(kAir, TemperatureDifference::kelvin(-1.0)), vapour_pressure(now)};
  const auto wait = time_until_dew(glass, outside, Duration::s(0.0), Duration::hours(8.0));
  ASSERT_TRUE(wait.has_value());
  EXPECT_NEAR(wait->hours() / dew_margin(glass, now).margin.kelvin(), 1.0, 0.05);
  EXPECT_FALSE(time_until_dew(glass, outside, Duration::s(0.0), Duration::hours(1.0)).has_value());
  const auto later = time_until_dew(glass, outside, Duration::hours(1.0), Duration::hours(8.0));
  ASSERT_TRUE(later.has_value());
  EXPECT_NEAR(later->hours(), wait->hours() - 1.0, 1e-2);
}

TEST(Dew, IsThereAlreadyOrNeverComes) {
  const Weather damp{Pressure::hpa(1010.0), kAir, 0.95};
  const Outside fogged{TemperatureCurve::steady(kAir), vapour_pressure(damp)};
  EXPECT_EQ(time_until_dew({}, fogged, Duration::s(0.0), Duration::hours(2.0))->s(), 0.0);
  const Outside dry{TemperatureCurve::steady(kAir), Pressure::hpa(4.0)};
  EXPECT_FALSE(time_until_dew({}, dry, Duration::s(0.0), Duration::hours(12.0)).has_value());
}

}  // namespace
}  // namespace halfarc
