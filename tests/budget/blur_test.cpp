#include "halfarc/budget/blur.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <set>

namespace halfarc {
namespace {

TEST(Blur, EveryCauseHasAWordAndANameOfItsOwn) {
  std::set<std::string_view> names, words;
  for (int i = 0; i <= static_cast<int>(Cause::noise); ++i) {
    names.insert(name_of(static_cast<Cause>(i)));
    words.insert(words_of(static_cast<Cause>(i)));
  }
  EXPECT_EQ(names.size(), 14U);
  EXPECT_EQ(words.size(), 14U);
  EXPECT_EQ(names.count(""), 0U);
}

// A Gaussian of full width w has the transfer exp(-(pi w f)^2 / (4 ln 2)).
TEST(Blur, EquivalentWidthOfAGaussianIsItsOwn) {
  for (const double width : {0.2, 0.5, 0.9}) {
    const double contrast = std::exp(-std::pow(std::numbers::pi * width, 2) / (4.0 * std::numbers::ln2));
    EXPECT_NEAR(equivalent_fwhm(contrast).arcsec(), width, 1e-12);
  }
  EXPECT_EQ(equivalent_fwhm(1.0).arcsec(), 0.0);
  EXPECT_TRUE(std::isfinite(equivalent_fwhm(0.0).arcsec()));
}

// Along one axis only, a Gaussian of variance s^2 averages to exp(-a/2) I0(a/2), a = 2 (pi s f)^2
// ([Abramowitz1964] 9.6.16).
TEST(Blur, DirectionsAreAveraged) {
  const double rms = 0.2;
  const TransferFunction along_y = [&](const SkyFrequency& f) {
    return std::exp(-2.0 * std::pow(std::numbers::pi * f.y.per_arcsec() * rms, 2));
  };
  const double a = std::pow(std::numbers::pi * rms, 2);
  EXPECT_NEAR(mean_over_directions(along_y, kHalfArc), std::exp(-a) * std::cyl_bessel_i(0.0, a), 1e-6);
}

TEST(Blur, ErrorsOfItsInputsAddInSquares) {
  const auto level = [](double value) { return [=](const SkyFrequency&) { return value; }; };
  const Blur blur{Cause::focus, level(0.8), {level(0.77), level(0.84)}, false, false, {}};
  const Measured<double> contrast = half_arc_contrast(blur);
  EXPECT_NEAR(contrast.value, 0.8, 1e-12);
  EXPECT_NEAR(contrast.sigma, 0.05, 1e-12);
}

}  // namespace
}  // namespace halfarc
