// What the corrector leaves inside the colour planes, with the air of the textbook formula.
#include "halfarc/optics/prism_colour.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

constexpr Length kRed = Length::nm(650.0);
constexpr Length kBlue = Length::nm(450.0);

// How high each colour is lifted at an altitude, in arcseconds: (n - 1) / tan h with the dry air at 15 degC and 1013
// hPa of [Filippenko1982] eq. 1.
SpectralCurve air_at(double altitude_deg) {
  return SpectralCurve::of([=](Length wavelength) {
    const double s2 = std::pow(1.0 / wavelength.um(), 2);
    const double refractivity = 1e-6 * (64.328 + 29498.1 / (146.0 - s2) + 255.4 / (41.0 - s2));
    return Angle::rad(refractivity / std::tan(altitude_deg * Angle::kRadPerDeg)).arcsec();
  });
}

SpectralCurve plane(double from_nm, double to_nm) { return SpectralCurve::box(Length::nm(from_nm), Length::nm(to_nm)); }

PrismPair levelled() {
  PrismPair pair;
  pair.roll = roll_against(Angle());
  return pair;
}

TEST(Spread, OfAStraightRiseOverABoxIsItsWidthOverRootTwelve) {
  const auto rise = SpectralCurve::of([](Length wavelength) { return 0.01 * wavelength.nm(); });
  const Spread spread = spread_of(rise, plane(500.0, 600.0));
  EXPECT_NEAR(spread.centre.arcsec(), 5.5, 1e-9);
  EXPECT_NEAR(spread.width.arcsec(), 1.0 / std::sqrt(12.0), 0.003);
}

TEST(ShiftCurve, IsTheShiftOfEachColour) {
  const PrismPair pair = levelled();
  const SpectralCurve curve = shift_curve(pair, both_at(4.0), {}, Angle::deg(180.0));
  const SkyOffset colours = dispersion(pair, both_at(4.0), {}, kRed, kBlue);
  EXPECT_NEAR(curve.at(kBlue) - curve.at(kRed), colours.y.arcsec(), 1e-9);
}

TEST(PlaneLeft, CorrectorClosesEachPlaneAndBringsThemTogether) {
  const SpectralCurve air = air_at(30.0);
  const auto setting = marks_for(levelled(), {}, air, plane(420.0, 680.0));
  ASSERT_TRUE(setting.enough);
  const auto place_of = [&](double marks, double from, double to) {
    return plane_left(levelled(), both_at(marks), {}, Angle(), air, plane(from, to)).along;
  };
  const Angle apart_before = place_of(0.0, 420.0, 500.0).centre - place_of(0.0, 590.0, 680.0).centre;
  const Angle apart_after = place_of(setting.marks, 420.0, 500.0).centre - place_of(setting.marks, 590.0, 680.0).centre;
  EXPECT_GT(apart_before.arcsec(), 1.0);
  EXPECT_LT(abs(apart_after).arcsec(), 0.06);
  EXPECT_LT(place_of(setting.marks, 490.0, 590.0).width, 0.15 * place_of(0.0, 490.0, 590.0).width);
}

TEST(MarksForColours, TwoPlanesFallOnEachOther) {
  const SpectralCurve air = air_at(30.0), red = plane(590.0, 680.0), blue = plane(420.0, 500.0);
  const auto setting = marks_for(levelled(), {}, air, red, blue);
  ASSERT_TRUE(setting.enough);
  const auto centre = [&](const SpectralCurve& weight) {
    return plane_left(levelled(), both_at(setting.marks), {}, Angle(), air, weight).along.centre;
  };
  EXPECT_NEAR((centre(blue) - centre(red)).arcsec(), 0.0, 1e-9);
  const auto flat = marks_for(levelled(), {}, SpectralCurve::flat(7.0), red, blue);
  EXPECT_NEAR(flat.marks, 0.0, 1e-9);
  const auto horizon = marks_for(levelled(), {}, air_at(3.0), red, blue);
  EXPECT_FALSE(horizon.enough);
  EXPECT_GT(horizon.left.arcsec(), 1.0);
}

// Common practice: shifting the planes over each other afterwards leaves the smear inside each of them: about 0.6
// arcsec within 500 to 580 nm at 30 degrees, whose standard deviation is that over root twelve.
TEST(PlaneLeft, SmearInsideGreenWithoutACorrector) {
  PrismPair none = levelled();
  none.apex = Angle();
  const auto left = plane_left(none, both_at(0.0), {}, Angle(), air_at(30.0), plane(500.0, 580.0));
  EXPECT_NEAR(left.along.width.arcsec(), 0.61 / std::sqrt(12.0), 0.01);
  EXPECT_EQ(left.across.width, Angle());
}

// The least squares setting against trying every tenth of a mark.
TEST(MarksForColours, NoOtherSettingFallsCloserTogether) {
  for (const char* name : {"N-BK7", "fused silica", "F2"}) {
    PrismPair pair = levelled();
    pair.glass = find_glass(name).value();
    const SpectralCurve air = air_at(25.0);
    const SpectralCurve weight = plane(420.0, 680.0);
    const auto setting = marks_for(pair, {}, air, weight);
    ASSERT_TRUE(setting.enough) << name;
    const auto width = [&](double marks) {
      return plane_left(pair, both_at(marks), {}, Angle(), air, weight).along.width;
    };
    EXPECT_NEAR((width(setting.marks) - setting.left).arcsec(), 0.0, 1e-9) << name;
    for (double marks = 0.0; marks <= 10.0; marks += 0.1) EXPECT_GE(width(marks), setting.left) << name << marks;
  }
}

// Air and glass are not of the same shape, so something is left at the best setting: least for crowns, more for flints.
TEST(SecondarySpectrum, FlintLeavesMoreThanCrown) {
  const auto left = [](const char* name) {
    PrismPair pair = levelled();
    pair.glass = find_glass(name).value();
    const auto setting = marks_for(pair, {}, air_at(30.0), plane(400.0, 700.0));
    EXPECT_TRUE(setting.enough) << name;
    return setting.left;
  };
  EXPECT_GT(left("N-BK7"), Angle());
  EXPECT_LT(left("N-BK7").arcsec(), 0.06);
  EXPECT_GT(left("N-SF11"), 1.5 * left("N-BK7"));
}

TEST(MarksForColours, TooMuchAirIsSaidAsAValue) {
  const auto setting = marks_for(levelled(), {}, air_at(8.0), plane(420.0, 680.0));
  EXPECT_FALSE(setting.enough);
  EXPECT_DOUBLE_EQ(setting.marks, 10.0);
  const Spread air = spread_of(air_at(8.0), plane(420.0, 680.0));
  EXPECT_LT(setting.reach, air.width);
  EXPECT_NEAR((setting.left + setting.reach) / air.width, 1.0, 0.02);
}

}  // namespace
}  // namespace halfarc
