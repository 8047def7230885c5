#include "halfarc/base/spectral_curve.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

TEST(SpectralCurve, ABoxKeepsItsAreaWhereverItsEdgesFall) {
  for (const double from : {400.0, 401.3, 403.9}) {
    const SpectralCurve box = SpectralCurve::box(Length::nm(from), Length::nm(from + 87.7));
    EXPECT_NEAR(area_nm(box), 87.7, 1e-9);
    EXPECT_NEAR(mean_wavelength(box).nm(), from + 87.7 / 2.0, 0.2);
    EXPECT_NEAR(spread_of_wavelength(box).nm(), 87.7 / std::sqrt(12.0), 0.3);
  }
}

TEST(SpectralCurve, IsStraightBetweenPointsAndLevelBeyond) {
  const SpectralCurve curve = SpectralCurve::through({{400.0, 0.2}, {500.0, 0.6}, {700.0, 0.0}});
  EXPECT_NEAR(curve.at(Length::nm(350.0)), 0.2, 1e-12);
  EXPECT_NEAR(curve.at(Length::nm(450.0)), 0.4, 1e-12);
  EXPECT_NEAR(curve.at(Length::nm(452.5)), 0.41, 1e-12);
  EXPECT_NEAR(curve.at(Length::nm(900.0)), 0.0, 1e-12);
}

TEST(SpectralCurve, IsNilOutsideItsRange) {
  const SpectralCurve one = SpectralCurve::flat(1.0);
  EXPECT_EQ(one.at(Length::nm(299.9)), 0.0);
  EXPECT_EQ(one.at(Length::nm(1100.1)), 0.0);
  EXPECT_EQ(one.at(Length::nm(1100.0)), 1.0);
  EXPECT_EQ(one.at(Length::nm(std::nan(""))), 0.0);
}

TEST(SpectralCurve, AProductOfBoxesIsWhatBothLetThrough) {
  const SpectralCurve both = SpectralCurve::box(Length::nm(400.0), Length::nm(600.0)) *
                             SpectralCurve::box(Length::nm(500.0), Length::nm(700.0));
  EXPECT_NEAR(area_nm(both), 100.0, 2.5);
  EXPECT_NEAR(area_nm(0.5 * both), 50.0, 1.3);
}

TEST(SpectralCurve, AnEmptyCurveHasTheMiddleForMeanAndNoSpread) {
  EXPECT_EQ(area_nm(SpectralCurve{}), 0.0);
  EXPECT_NEAR(mean_wavelength(SpectralCurve{}).nm(), 700.0, 1e-9);
  EXPECT_EQ(spread_of_wavelength(SpectralCurve{}).nm(), 0.0);
}

}  // namespace
}  // namespace halfarc
