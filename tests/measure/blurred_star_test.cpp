#include "halfarc/measure/blurred_star.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "halfarc/air/turbulence.h"

namespace halfarc {
namespace {

const Pupil kPupil{Length::mm(203.0), 0.34};
constexpr Length kGreen = Length::nm(540.0);

StarTerms in_air(double r0_m, double aligned = 1.0) {
  StarTerms t{};
  t[kLogR0] = std::log(r0_m);
  t[kAligned] = aligned;
  return t;
}

float highest(const Plane<float>& p) { return *std::max_element(p.samples().begin(), p.samples().end()); }

double total(const Plane<float>& p) {
  double sum = 0.0;
  for (const float v : p.samples()) sum += static_cast<double>(v);
  return sum;
}

// Without air and on fine pixels it is the closed form of a perfect telescope.
TEST(BlurredStar, SharpIsThePointSpread) {
  const PlateScale scale = PlateScale::arcsec_per_px(0.05);
  const BlurredStar star(kPupil, kGreen, scale, 96);
  Plane<float> picture;
  star.draw(in_air(1e3), picture, nullptr);
  for (int x = 40; x < 70; ++x) {
    double pixel = 0.0;  // the pixel's own average
    for (int j = -2; j <= 2; ++j) {
      for (int i = -2; i <= 2; ++i)
        pixel += point_intensity(kPupil, kGreen, scale.angle(std::hypot(x - 48 + i / 5.0, j / 5.0))) / 25.0;
    }
    EXPECT_NEAR(static_cast<double>(picture(x, 48) / picture(48, 48)), pixel, 4e-3) << x;
  }
}

// A defocus of W throws the edge's light 4 W lambda / D from the middle, by rays [BornWolf1999].
TEST(BlurredStar, DefocusSpreadsByRays) {
  const BlurredStar star(kPupil, kGreen, PlateScale::arcsec_per_px(0.35), 128);
  StarTerms terms = in_air(0.1);
  terms[kDefocus] = 5.0;
  Plane<float> picture;
  star.draw(terms, picture, nullptr);
  EXPECT_NEAR(total(picture), 1.0, 0.01);
  const double edge = 4.0 * 5.0 * Angle::rad(kGreen / kPupil.diameter).arcsec() / 0.35;
  double inside = 0.0, within_hole = 0.0;
  for (int y = 0; y < 128; ++y) {
    for (int x = 0; x < 128; ++x) {
      const double r = std::hypot(x - 64, y - 64);
      if (r < edge + 4.0) inside += static_cast<double>(picture(x, y));
      if (r < 0.34 * edge - 3.0) within_hole += static_cast<double>(picture(x, y));
    }
  }
  EXPECT_GT(inside, 0.93);
  EXPECT_LT(within_hole, 0.02);
}

TEST(BlurredStar, SlopesAreThoseOfThePicture) {
  const BlurredStar star(kPupil, kGreen, PlateScale::arcsec_per_px(0.35), 48);
  const StarTerms at{1.4, 0.2, -0.1, 0.05, -0.08, 0.1, std::log(0.06), 0.8, 0.4, -0.7};
  Plane<float> here, less, more;
  std::array<Plane<float>, kStarTerms> slopes;
  star.draw(at, here, &slopes);
  for (std::size_t t = 0; t < kStarTerms; ++t) {
    StarTerms low = at, high = at;
    low[t] -= 0.02;
    high[t] += 0.02;
    star.draw(low, less, nullptr);
    star.draw(high, more, nullptr);
    const float largest = std::max(highest(slopes[t]), 1e-9F);
    for (std::size_t i = 0; i < here.count(); ++i) {
      const float slope = (more.samples()[i] - less.samples()[i]) / 0.04F;
      ASSERT_NEAR(slopes[t].samples()[i] / largest, slope / largest, 0.02) << "term " << t << " sample " << i;
    }
  }
}

// The sign of defocus, astigmatism and spherical aberration cannot be seen; that of coma can.
TEST(BlurredStar, EvenErrorsHideTheirSign) {
  const BlurredStar star(kPupil, kGreen, PlateScale::arcsec_per_px(0.35), 64);
  const StarTerms at{2.0, 0.3, -0.2, 0.1, 0.05, -0.1, std::log(0.06), 1.0, 0.0, 0.0};
  StarTerms turned = at, other = at;
  for (const std::size_t t : {kDefocus, kAstigmatism, kAstigmatism45, kSpherical}) turned[t] = -at[t];
  for (const std::size_t t : {kComaX, kComaY}) other[t] = -at[t];
  Plane<float> a, b, c;
  star.draw(at, a, nullptr);
  star.draw(turned, b, nullptr);
  star.draw(other, c, nullptr);
  float same = 0.0F, differs = 0.0F;
  for (std::size_t i = 0; i < a.count(); ++i) {
    same = std::max(same, std::abs(a.samples()[i] - b.samples()[i]));
    differs = std::max(differs, std::abs(a.samples()[i] - c.samples()[i]));
  }
  EXPECT_LT(same, 1e-3F * highest(a));
  EXPECT_GT(differs, 0.1F * highest(a));
}

// Coma along +x pulls the light of the outer pupil towards +x: the hole is left behind [BornWolf1999].
TEST(BlurredStar, ComaMovesTheRingAgainstTheHole) {
  const BlurredStar star(kPupil, kGreen, PlateScale::arcsec_per_px(0.35), 128);
  StarTerms terms = in_air(0.2);
  terms[kDefocus] = 5.0;
  terms[kComaX] = 0.6;
  Plane<float> picture;
  star.draw(terms, picture, nullptr);
  const double unit = Angle::rad(kGreen / kPupil.diameter).arcsec() / 0.35;
  const auto row = [&](double x) { return picture(64 + static_cast<int>(std::lround(x)), 64); };
  EXPECT_LT(row(-unit * (20.0 - 6.0 * 0.6 + 2.0)), 0.3F * row(-unit * (20.0 - 6.0 * 0.6 - 2.0)));
  EXPECT_GT(row(unit * (20.0 + 6.0 * 0.6 - 2.0)), 2.0F * row(unit * (20.0 + 6.0 * 0.6 + 2.0)));
}

}  // namespace
}  // namespace halfarc
