#include "halfarc/base/angle.h"

#include <gtest/gtest.h>

#include <limits>

namespace halfarc {
namespace {

using namespace literals;

// By definition of the units: a turn is 2 pi rad = 360 deg = 24 h, 1 deg = 60 arcmin = 3600 arcsec.
TEST(Angle, UnitsOfOneTurn) {
  const Angle turn = Angle::deg(360.0);
  EXPECT_DOUBLE_EQ(turn.rad(), 2.0 * std::numbers::pi);
  EXPECT_DOUBLE_EQ(turn.arcmin(), 21'600.0);
  EXPECT_DOUBLE_EQ(turn.arcsec(), 1'296'000.0);
  EXPECT_DOUBLE_EQ(turn.hours(), 24.0);
  EXPECT_DOUBLE_EQ(Angle::hours(6.0).deg(), 90.0);
  EXPECT_DOUBLE_EQ(Angle::arcmin(1.0).arcsec(), 60.0);
  EXPECT_DOUBLE_EQ((0.5_arcsec).deg(), 0.5 / 3600.0);
}

// IAU/SOFA constant DAS2R: arcseconds to radians, 4.848136811095359935899141e-6.
TEST(Angle, ArcsecondOfSofa) { EXPECT_DOUBLE_EQ(Angle::arcsec(1.0).rad(), 4.848136811095359935899141e-6); }

TEST(Angle, Arithmetic) {
  EXPECT_EQ(10.0_deg + 20.0_deg, 30.0_deg);
  EXPECT_EQ(-(10.0_deg), Angle::deg(-10.0));
  EXPECT_DOUBLE_EQ((2.0 * 10.0_deg).deg(), 20.0);
  EXPECT_DOUBLE_EQ((10.0_deg * 2.0).deg(), 20.0);
  EXPECT_DOUBLE_EQ((10.0_deg / 4.0).deg(), 2.5);
  EXPECT_DOUBLE_EQ(10.0_deg / 4.0_deg, 2.5);
  Angle a = 1.0_deg;
  a += 2.0_deg;
  a -= 0.5_deg;
  a *= 4.0;
  a /= 2.0;
  EXPECT_DOUBLE_EQ(a.deg(), 5.0);
  EXPECT_DOUBLE_EQ(abs(Angle::deg(-3.0)).deg(), 3.0);
  EXPECT_LT(1.0_arcsec, 1.0_deg);
  EXPECT_TRUE(is_finite(a));
  EXPECT_FALSE(is_finite(Angle::rad(std::numeric_limits<double>::quiet_NaN())));
}

TEST(Angle, Functions) {
  EXPECT_DOUBLE_EQ(sin(30.0_deg), 0.5);
  EXPECT_NEAR(cos(60.0_deg), 0.5, 1e-15);
  EXPECT_NEAR(tan(45.0_deg), 1.0, 1e-15);
}

TEST(Angle, WrapPositive) {
  EXPECT_DOUBLE_EQ(wrap_positive(Angle::deg(0.0)).deg(), 0.0);
  EXPECT_DOUBLE_EQ(wrap_positive(Angle::deg(360.0)).deg(), 0.0);
  EXPECT_DOUBLE_EQ(wrap_positive(Angle::deg(-90.0)).deg(), 270.0);
  EXPECT_NEAR(wrap_positive(Angle::deg(725.0)).deg(), 5.0, 1e-12);
  EXPECT_NEAR(wrap_positive(Angle::deg(-725.0)).deg(), 355.0, 1e-12);
}

TEST(Angle, WrapPositiveStaysBelowTheTurnForTinyNegatives) {
  for (const double tiny : {-1e-17, -1e-30, -std::numeric_limits<double>::denorm_min()}) {
    const Angle a = wrap_positive(Angle::rad(tiny));
    EXPECT_GE(a.rad(), 0.0);
    EXPECT_LT(a.rad(), 2.0 * std::numbers::pi);
  }
}

TEST(Angle, WrapSigned) {
  EXPECT_DOUBLE_EQ(wrap_signed(Angle::deg(190.0)).deg(), -170.0);
  EXPECT_DOUBLE_EQ(wrap_signed(Angle::deg(-190.0)).deg(), 170.0);
  EXPECT_DOUBLE_EQ(wrap_signed(Angle::deg(180.0)).deg(), -180.0);
  EXPECT_DOUBLE_EQ(wrap_signed(Angle::deg(-180.0)).deg(), -180.0);
  EXPECT_NEAR(wrap_signed(Angle::deg(540.0)).deg(), -180.0, 1e-12);
  EXPECT_NEAR(wrap_signed(Angle::deg(359.0)).deg(), -1.0, 1e-12);
}

TEST(Angle, WrapSignedKeepsSmallAnglesExactly) {
  EXPECT_EQ(wrap_signed(Angle::rad(1e-20)).rad(), 1e-20);
  EXPECT_EQ(wrap_signed(Angle::rad(-3e-18)).rad(), -3e-18);
}

}  // namespace
}  // namespace halfarc
