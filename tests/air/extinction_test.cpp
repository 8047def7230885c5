#include "halfarc/air/extinction.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

constexpr Length kSeaLevel = Length::m(0.0);
constexpr Length kGreen = Length::nm(550.0);

TEST(Extinction, TransmissionMultipliesWithAirmass) {
  const SpectralCurve once = air_transmission(1.0, kSeaLevel);
  const SpectralCurve thrice = air_transmission(3.0, kSeaLevel);
  for (const double nm : {350.0, 450.0, 550.0, 900.0}) {
    const Length wavelength = Length::nm(nm);
    EXPECT_NEAR(thrice.at(wavelength), std::pow(once.at(wavelength), 3.0), 1e-9) << nm;
    EXPECT_NEAR(-2.5 * std::log10(once.at(wavelength)), extinction(wavelength, kSeaLevel).total(), 1e-9) << nm;
  }
  EXPECT_EQ(air_transmission(0.0, kSeaLevel).at(kGreen), 1.0);
}

TEST(Extinction, ThinsWithHeightAndTowardsTheRed) {
  const Extinction low = extinction(kGreen, kSeaLevel);
  const Extinction high = extinction(kGreen, Length::km(3.0));
  EXPECT_NEAR(high.molecules / low.molecules, std::exp(-3.0 / 7.996), 1e-9);
  EXPECT_NEAR(high.haze / low.haze, std::exp(-2.0), 1e-9);
  EXPECT_EQ(high.ozone, low.ozone);
  EXPECT_GT(extinction(Length::nm(400.0), kSeaLevel).total(), 2.0 * low.total());
  EXPECT_LT(extinction(Length::nm(850.0), kSeaLevel).total(), 0.5 * low.total());
}

TEST(Extinction, HazeIsTheOwnersToState) {
  const Haze clean{0.0, 1.3, 0.0};
  const Extinction pure = extinction(kGreen, kSeaLevel, clean);
  EXPECT_EQ(pure.total(), pure.molecules);
  const Haze dust{0.3, 0.0, 0.3};
  EXPECT_EQ(extinction(Length::nm(400.0), kSeaLevel, dust).haze, extinction(Length::nm(800.0), kSeaLevel, dust).haze);
}

}  // namespace
}  // namespace halfarc
