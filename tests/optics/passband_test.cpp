#include "halfarc/optics/passband.h"

#include <gtest/gtest.h>

#include <vector>

#include "halfarc/optics/sunlight.h"

namespace halfarc {
namespace {

TEST(Passband, CurvesAreShares) {
  std::vector<SpectralCurve> curves = {silicon_efficiency(), ultraviolet_infrared_cut(),
                                       infrared_pass(Length::nm(685.0)), visual_band()};
  for (const SpectralCurve& dye : mosaic_dyes()) curves.push_back(dye);
  for (const TelescopeKind kind : {TelescopeKind::schmidt_cassegrain, TelescopeKind::maksutov, TelescopeKind::newtonian,
                                   TelescopeKind::refractor}) {
    curves.push_back(telescope_transmission(kind));
  }
  for (const SpectralCurve& curve : curves) {
    for (std::size_t i = 0; i < SpectralCurve::kSteps; ++i) {
      EXPECT_GE(curve[i], 0.0);
      EXPECT_LE(curve[i], 1.0);
    }
  }
}

TEST(Passband, PlanesAreTheProductOfAllThatIsInTheWay) {
  const Length green = Length::nm(540.0);
  const auto planes = colour_planes(SpectralCurve::flat(0.5));
  EXPECT_NEAR(planes[1].at(green), 0.5 * mosaic_dyes()[1].at(green) * silicon_efficiency().at(green), 1e-12);
}

TEST(Passband, ColoursLieWhereTheyShouldBehindTheCut) {
  const auto planes = colour_planes(ultraviolet_infrared_cut());
  const SpectralCurve light = sunlight();
  EXPECT_NEAR(band(planes[0], light).mean.nm(), 620.0, 10.0);
  EXPECT_NEAR(band(planes[1], light).mean.nm(), 540.0, 10.0);
  EXPECT_NEAR(band(planes[2], light).mean.nm(), 465.0, 12.0);
  for (const SpectralCurve& plane : planes) {
    EXPECT_GT(band(plane, light).spread.nm(), 20.0);
    EXPECT_LT(band(plane, light).spread.nm(), 60.0);
  }
}

// Common practice: without the cut, near infrared leaks into all three colours and moves blue the most.
TEST(Passband, InfraredLeaksIntoEveryColourWithoutTheCut) {
  const auto with = colour_planes(ultraviolet_infrared_cut());
  const auto without = colour_planes(SpectralCurve::flat(1.0));
  const SpectralCurve light = sunlight();
  for (std::size_t colour = 0; colour < 3; ++colour) {
    const Band cut = band(with[colour], light);
    const Band open = band(without[colour], light);
    EXPECT_GT(open.mean.nm(), cut.mean.nm() + 20.0) << colour;
    EXPECT_GT(open.weight, cut.weight) << colour;
  }
  const auto moved = [&](std::size_t c) { return (band(without[c], light).mean - band(with[c], light).mean).nm(); };
  EXPECT_GT(moved(2), moved(0));
}

// Behind an infrared pass the three colours see nearly the same.
TEST(Passband, InfraredPassMakesTheColoursAlike) {
  const auto planes = colour_planes(infrared_pass(Length::nm(807.0)));
  const Band red = band(planes[0], sunlight());
  const Band blue = band(planes[2], sunlight());
  EXPECT_NEAR(blue.weight / red.weight, 1.0, 0.1);
  EXPECT_NEAR((red.mean - blue.mean).nm(), 0.0, 5.0);
}

TEST(Passband, VisualBandIsCentredWhereItIsSaidToBe) {
  EXPECT_NEAR(mean_wavelength(visual_band()).nm(), 548.0, 4.0);
  EXPECT_NEAR(visual_band().at(Length::nm(530.0)), 1.0, 1e-12);
}

}  // namespace
}  // namespace halfarc
