// The two-prism corrector in closed form: what the levers, the roll and the distance do.
#include "halfarc/optics/prism_pair.h"

#include <gtest/gtest.h>

#include <cmath>
#include <utility>

namespace halfarc {
namespace {

constexpr Length kRed = Length::nm(650.0);
constexpr Length kGreen = Length::nm(550.0);
constexpr Length kBlue = Length::nm(450.0);

PixelOffset arcsec(SkyOffset sky) { return {sky.x.arcsec(), sky.y.arcsec()}; }

// A corrector without a gap: the thin ideal.
PrismPair ideal() {
  PrismPair pair;
  pair.gap = Length();
  return pair;
}

TEST(LeverScale, IsInProportionFromWhereThePrismsCancel) {
  const LeverScale scale{.lowest = 0.0, .highest = 10.0, .at_highest = Angle::deg(80.0)};
  EXPECT_EQ(lever_angle(scale, 0.0), Angle());
  EXPECT_NEAR(lever_angle(scale, 2.5).deg(), 20.0, 1e-12);
  EXPECT_NEAR(marks_at(scale, Angle::deg(20.0)), 2.5, 1e-12);
}

// Light that enters square leaves at asin(n sin A) - A: [BornWolf1999] 4.7.2.
TEST(PrismPair, PullOfOnePrismIsThatOfAThinWedge) {
  const double n = refractive_index(crown_glass(), kGreen);
  for (const auto& [apex, accuracy] : {std::pair{2.0, 8e-4}, {10.0, 2e-2}}) {
    PrismPair pair;
    pair.apex = Angle::deg(apex);
    const double exact = std::asin(n * sin(pair.apex)) - pair.apex.rad();
    EXPECT_NEAR(deviation(pair, kGreen).rad() / exact, 1.0, accuracy) << apex;
    EXPECT_GT(std::abs(deviation(pair, kGreen).rad() / exact - 1.0), 0.5 * accuracy) << apex;
  }
}

TEST(PrismPair, CancelsAtNoMarksAndAddsUpAtTheQuarterTurn) {
  const CorrectorPlace place;
  const PixelOffset none = arcsec(dispersion(ideal(), both_at(0.0), place, kRed, kBlue));
  EXPECT_NEAR(none.length(), 0.0, 1e-12);
  const PixelOffset all = arcsec(dispersion(ideal(), both_at(10.0), place, kRed, kBlue));
  // By hand: the pull is A ((n - 1) L + t (1 - 1/n)), so twice its change is 2 A dn (L + t / n^2): 81.73 mm of 4060.
  const double apart = refractive_index(crown_glass(), kBlue) - refractive_index(crown_glass(), kRed);
  EXPECT_NEAR(all.length(), 2.0 * 7200.0 * apart * 81.735 / 4060.0, 5e-4);
}

// Two equal pulls turned by +-t from where they help each other: 2 d cos t along the axis (vector sum).
TEST(PrismPair, PullIsTwiceTheCosineOfTheAngleBetween) {
  const CorrectorPlace place;
  const double one = image_shift(ideal(), both_at(10.0), place, kGreen).y.um() / 2.0;
  for (double t = 0.0; t <= 90.0; t += 10.0) {
    const auto shift = image_shift(ideal(), both_at((90.0 - t) / 9.0), place, kGreen);
    EXPECT_NEAR(shift.y.um(), 2.0 * one * std::cos(t * Angle::kRadPerDeg), 1e-9) << t;
    EXPECT_NEAR(shift.x.um(), 0.0, 1e-9) << t;
  }
}

// Common practice: levers moved equally in opposite senses keep the direction of dispersion; unequal ones turn it, by
// half the difference.
TEST(PrismPair, EqualLeversKeepTheDirection) {
  for (const double roll : {0.0, 65.0, 200.0}) {
    PrismPair pair = ideal();
    pair.roll = Angle::deg(roll);
    for (double marks = 1.0; marks <= 10.0; marks += 1.0) {
      const auto sky = dispersion(pair, both_at(marks), {}, kRed, kBlue);
      EXPECT_NEAR(wrap_signed(direction_of(arcsec(sky)) - pair.roll).deg(), 0.0, 1e-9) << marks;
    }
    const auto unequal = dispersion(pair, {6.0, 4.0}, {}, kRed, kBlue);
    EXPECT_NEAR(wrap_signed(direction_of(arcsec(unequal)) - pair.roll).deg(), -9.0, 1e-6);
    const auto back = dispersion(pair, {4.0, 6.0}, {}, kRed, kBlue);
    EXPECT_NEAR(wrap_signed(direction_of(arcsec(back)) - pair.roll).deg(), 9.0, 1e-6);
  }
}

// The prism farther from the focus is worth more: at 0 marks its surplus is left, square to the roll.
TEST(PrismPair, TheGapLeavesALittleSideways) {
  const PrismPair pair;
  const auto left = left_over(pair, both_at(0.0), {}, Angle(), Angle(), kRed, kBlue);
  const double apart = refractive_index(crown_glass(), kBlue) - refractive_index(crown_glass(), kRed);
  EXPECT_NEAR(left.across.arcsec(), 7200.0 * apart * 3.0 / 4060.0, 2e-4);
  EXPECT_NEAR(left.along.arcsec(), 0.0, 1e-12);
}

// Common practice: moving the levers moves the target, in the direction of the roll, by far more than the colours.
TEST(PrismPair, MovingTheLeversMovesTheTarget) {
  PrismPair pair = ideal();
  pair.roll = Angle::deg(120.0);
  const PixelOffset moved = in_pixels(target_shift(pair, both_at(2.0), both_at(3.0), {}, kGreen), Length::um(3.45));
  EXPECT_NEAR(direction_of(moved).deg(), 120.0, 1e-6);
  // By hand: 2 x 0.51852 x 2 deg x (80 + 4 / 1.51852) mm x (sin 27 - sin 18 deg) = 0.43367 mm.
  EXPECT_NEAR(moved.length() * 3.45, 433.67, 0.05);
  const auto colours = dispersion(pair, both_at(3.0), {}, kRed, kBlue);
  EXPECT_GT(moved.length() * 0.1753, 10.0 * arcsec(colours).length());
}

TEST(PrismPair, DispersionOnTheSkyIsAngleTimesDistanceOverFocalLength) {
  CorrectorPlace near;
  near.to_focus = Length::mm(80.0 - 4.0 / (1.5185 * 1.5185));  // the distance counts from inside the glass
  CorrectorPlace far = near;
  far.to_focus += Length::mm(80.0);
  CorrectorPlace longer = near;
  longer.focal_length *= 2.0;
  const double one = arcsec(dispersion(ideal(), both_at(5.0), near, kRed, kBlue)).length();
  EXPECT_NEAR(arcsec(dispersion(ideal(), both_at(5.0), far, kRed, kBlue)).length() / one, 2.0, 1e-3);
  EXPECT_NEAR(arcsec(dispersion(ideal(), both_at(5.0), longer, kRed, kBlue)).length() / one, 0.5, 1e-12);
}

TEST(MarksFor, CancelTheAir) {
  PrismPair pair;
  const Angle zenith = Angle::deg(35.0);
  pair.roll = roll_against(zenith);
  for (const double air : {0.2, 0.75, 1.54, 2.9}) {
    const auto setting = marks_for(pair, {}, Angle::arcsec(air), kRed, kBlue);
    EXPECT_TRUE(setting.enough);
    EXPECT_EQ(setting.left, Angle());
    const auto left = left_over(pair, both_at(setting.marks), {}, zenith, Angle::arcsec(air), kRed, kBlue);
    EXPECT_NEAR(left.along.arcsec(), 0.0, 1e-9) << air;
    EXPECT_LT(abs(left.across).arcsec(), 0.06) << air;  // the gap's share
  }
}

TEST(MarksFor, MoreThanTheCorrectorReachesIsSaidAsAValue) {
  const PrismPair pair;
  const auto setting = marks_for(pair, {}, Angle::arcsec(5.0), kRed, kBlue);
  EXPECT_FALSE(setting.enough);
  EXPECT_DOUBLE_EQ(setting.marks, 10.0);
  EXPECT_NEAR(setting.reach.arcsec(), arcsec(dispersion(pair, both_at(10.0), {}, kRed, kBlue)).length(), 1e-9);
  EXPECT_NEAR((setting.left + setting.reach).arcsec(), 5.0, 1e-12);
}

TEST(MarksFor, FlatGlassCancelsNothing) {
  PrismPair flat;
  flat.apex = Angle();
  const auto setting = marks_for(flat, {}, Angle::arcsec(0.5), kRed, kBlue);
  EXPECT_FALSE(setting.enough);
  EXPECT_EQ(setting.reach, Angle());
  EXPECT_DOUBLE_EQ(setting.left.arcsec(), 0.5);
  EXPECT_TRUE(marks_for(flat, {}, Angle(), kRed, kBlue).enough);
}

TEST(MarksFor, StaysOnTheOwnersScale) {
  PrismPair pair;
  pair.scale = {.lowest = 0.0, .highest = 20.0, .at_highest = Angle::deg(60.0)};
  const auto far = marks_for(pair, {}, Angle::arcsec(9.0), kRed, kBlue);
  EXPECT_NEAR(far.marks, 20.0, 1e-12);
  pair.scale.at_highest = Angle::deg(120.0);  // beyond the quarter turn the pull falls again
  EXPECT_NEAR(marks_for(pair, {}, Angle::arcsec(9.0), kRed, kBlue).marks, 15.0, 1e-12);
  const auto wrong_way = marks_for(pair, {}, Angle::arcsec(-0.5), kRed, kBlue);
  EXPECT_FALSE(wrong_way.enough);
  EXPECT_DOUBLE_EQ(wrong_way.marks, 0.0);
  pair.scale.lowest = -20.0;
  EXPECT_TRUE(marks_for(pair, {}, Angle::arcsec(-0.5), kRed, kBlue).enough);
}

TEST(PerMark, IsTheSlopeOfTheDispersion) {
  const PrismPair pair = ideal();
  for (const double marks : {0.0, 3.0, 8.0}) {
    const double more = dispersion(pair, both_at(marks + 1e-4), {}, kRed, kBlue).y.arcsec();
    const double less = dispersion(pair, both_at(marks - 1e-4), {}, kRed, kBlue).y.arcsec();
    EXPECT_NEAR(per_mark(pair, marks, {}, kRed, kBlue).arcsec(), (less - more) / 2e-4, 1e-6) << marks;
  }
}

// A corrector rolled by 4 degrees leaves the sine of it sideways.
TEST(LeftOver, OfARollErrorLiesSideways) {
  PrismPair pair = ideal();
  pair.roll = roll_against(Angle()) + Angle::deg(4.0);
  const auto setting = marks_for(pair, {}, Angle::arcsec(1.54), kRed, kBlue);
  const auto left = left_over(pair, both_at(setting.marks), {}, Angle(), Angle::arcsec(1.54), kRed, kBlue);
  EXPECT_NEAR(left.across.arcsec(), -1.54 * std::sin(4.0 * Angle::kRadPerDeg), 1e-9);
  EXPECT_NEAR(left.along.arcsec(), 1.54 * (1.0 - std::cos(4.0 * Angle::kRadPerDeg)), 1e-9);
}

}  // namespace
}  // namespace halfarc
