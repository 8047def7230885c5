#include "halfarc/optics/sunlight.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

// Most photons a nanometre at hc / (3.92069 k T): the root of x = 4 (1 - exp(-x)).
TEST(Sunlight, BlackBodySendsMostPhotonsWhereWienSays) {
  std::size_t most = 0;
  const SpectralCurve sun = sunlight();
  for (std::size_t i = 0; i < SpectralCurve::kSteps; ++i) {
    if (sun[i] > sun[most]) most = i;
  }
  EXPECT_NEAR(SpectralCurve::wavelength(most).nm(), 1.438776877e7 / 3.92069 / 5772.0, 5.0);
  EXPECT_NEAR(sun.at(Length::nm(550.0)), 1.0, 1e-12);
}

// Photons at 450 against those at 700 nm, by hand from Planck's law.
TEST(Sunlight, BlackBodyByHand) {
  const SpectralCurve sun = black_body_photons(Temperature::kelvin(5772.0));
  const double expected = 0.789880;
  EXPECT_NEAR(sun.at(Length::nm(450.0)) / sun.at(Length::nm(700.0)), expected, 1e-5);
}

TEST(Sunlight, BodiesHaveTheirColours) {
  const auto ratio = [](BodyColour body, double a, double b) {
    return reflectance(body).at(Length::nm(a)) / reflectance(body).at(Length::nm(b));
  };
  for (const BodyColour body :
       {BodyColour::grey, BodyColour::moon, BodyColour::mercury, BodyColour::venus, BodyColour::mars,
        BodyColour::jupiter, BodyColour::saturn, BodyColour::uranus, BodyColour::neptune}) {
    EXPECT_NEAR(reflectance(body).at(Length::nm(550.0)), 1.0, 1e-12);
    for (std::size_t i = 0; i < SpectralCurve::kSteps; ++i) EXPECT_GT(reflectance(body)[i], 0.0);
  }
  EXPECT_GT(ratio(BodyColour::mars, 650.0, 450.0), 3.0);
  EXPECT_GT(ratio(BodyColour::moon, 800.0, 450.0), 1.4);
  EXPECT_LT(ratio(BodyColour::uranus, 650.0, 480.0), 0.6);
  EXPECT_LT(ratio(BodyColour::jupiter, 890.0, 830.0), 0.3);  // methane
  EXPECT_EQ(ratio(BodyColour::grey, 400.0, 900.0), 1.0);
}

TEST(Sunlight, BodyLightIsTheProduct) {
  const Length red = Length::nm(650.0);
  EXPECT_NEAR(body_light(BodyColour::mars).at(red), sunlight().at(red) * reflectance(BodyColour::mars).at(red), 1e-12);
}

}  // namespace
}  // namespace halfarc
