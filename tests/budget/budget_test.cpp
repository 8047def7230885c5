#include "halfarc/budget/budget.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/budget/causes.h"

namespace halfarc {
namespace {

const Pupil kPupil{Length::mm(203.0), 0.34};
const Length kGreen = Length::nm(540.0);

std::vector<Blur> night() {
  return {diffraction_blur(kPupil, kGreen), pixel_blur(Angle::arcsec(0.18)),
          air_blur(kPupil, kGreen, {Length::cm(9.0), Length::cm(0.9)}, 0.2),
          wavefront_blur(Cause::focus, kPupil, kGreen, {.defocus = 0.3, .wavelength = kGreen}, {.defocus = 0.05})};
}

TEST(Budget, TotalOfRoundBlursIsTheirProduct) {
  const Budget budget = budget_of(night());
  double product = 1.0;
  for (const BudgetRow& row : budget.rows) product *= row.half_arc_contrast.value;
  EXPECT_NEAR(budget.half_arc_contrast.value, product, 0.005 * product);
  EXPECT_NEAR(total_contrast(budget, kHalfArc), budget.half_arc_contrast.value, 1e-12);
  EXPECT_NEAR(total_contrast(budget, SpatialFrequency()), 1.0, 1e-12);
}

TEST(Budget, TheGreatestGainStandsFirstAndDiffractionLast) {
  const Budget budget = budget_of(night());
  ASSERT_EQ(budget.rows.size(), 4U);
  for (std::size_t i = 0; i + 2 < budget.rows.size(); ++i) EXPECT_GE(budget.rows[i].gain, budget.rows[i + 1].gain);
  EXPECT_EQ(budget.rows.back().blur.cause, Cause::diffraction);
  // Mending a round blur brings the contrast to 1/c of what it was.
  for (const BudgetRow& row : budget.rows) EXPECT_NEAR(1.0 + row.gain, 1.0 / row.half_arc_contrast.value, 0.02);
}

TEST(Budget, WhatIsUndoneAfterwardsDoesNotCount) {
  std::vector<Blur> blurs = night();
  const double without = budget_of(night()).half_arc_contrast.value;
  Blur fringes = between_colours_blur({{{Angle::arcsec(-0.5), {}}, {}, {Angle::arcsec(0.6), {}}}}, {0.3, 0.6, 0.1});
  blurs.push_back(fringes);
  EXPECT_LT(budget_of(blurs).half_arc_contrast.value, 0.9 * without);
  blurs.back().undone = true;
  const Budget undone = budget_of(blurs);
  EXPECT_NEAR(undone.half_arc_contrast.value, without, 1e-12);
}

TEST(Budget, ErrorsOfItsRowsReachTheTotal) {
  const Budget budget = budget_of(night());
  double relative = 0.0;
  for (const BudgetRow& row : budget.rows) {
    relative += std::pow(row.half_arc_contrast.sigma / row.half_arc_contrast.value, 2);
    EXPECT_GE(row.fwhm.sigma, Angle());
  }
  EXPECT_GT(relative, 1e-4);
  EXPECT_NEAR(budget.half_arc_contrast.sigma / budget.half_arc_contrast.value, std::sqrt(relative), 0.01);
}

TEST(Budget, OfNothingIsAll) {
  const Budget budget = budget_of({});
  EXPECT_EQ(budget.half_arc_contrast.value, 1.0);
  EXPECT_EQ(budget.fwhm.value.arcsec(), 0.0);
}

}  // namespace
}  // namespace halfarc
