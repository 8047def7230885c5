#include "halfarc/air/refractivity.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

const Weather kNight{Pressure::hpa(1012.0), Temperature::celsius(8.0), 0.8};

TEST(Refractivity, OneIndexServesManyWavelengths) {
  const AirIndex index(kNight);
  for (const double nm : {350.0, 550.0, 1000.0}) {
    EXPECT_EQ(index.refractivity(Length::nm(nm)), refractivity(Length::nm(nm), kNight));
  }
}

TEST(Refractivity, FollowsDensityAndFallsTowardsTheRed) {
  Weather warm = kNight, high = kNight;
  warm.temperature = Temperature::celsius(18.0);
  high.pressure = 0.5 * kNight.pressure;
  const Length green = Length::nm(550.0);
  EXPECT_NEAR(refractivity(green, warm) / refractivity(green, kNight), 281.15 / 291.15, 2e-3);
  EXPECT_NEAR(refractivity(green, high) / refractivity(green, kNight), 0.5, 1e-3);
  EXPECT_GT(refractivity(Length::nm(400.0), kNight), refractivity(green, kNight));
  EXPECT_LT(refractivity(Length::nm(700.0), kNight), refractivity(green, kNight));
}

// Vapour is lighter than the air it replaces and disperses a little more.
TEST(Refractivity, MoistAirRefractsLess) {
  Weather dry = kNight;
  dry.relative_humidity = 0.0;
  EXPECT_LT(refractivity(Length::nm(550.0), kNight), refractivity(Length::nm(550.0), dry));
}

TEST(Refractivity, VacuumDoesNotRefract) {
  const Weather nothing{Pressure::pa(0.0), Temperature::celsius(8.0), 0.8};
  EXPECT_EQ(refractivity(Length::nm(550.0), nothing), 0.0);
}

TEST(Refractivity, CarbonDioxideHasItsStatedWeight) {
  const double ratio = refractivity(Length::nm(550.0), kNight, 525.0) / refractivity(Length::nm(550.0), kNight, 425.0);
  EXPECT_NEAR(ratio - 1.0, 5.3e-5, 1e-6);
}

}  // namespace
}  // namespace halfarc
