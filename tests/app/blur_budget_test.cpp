#include "halfarc/app/blur_budget.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace halfarc {
namespace {

BudgetRequest jupiter_at(Utc utc) {
  BudgetRequest request;
  request.rig = example_rig();
  request.site = {Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};
  request.utc = utc;
  return request;
}

const BudgetRow& row(const Budget& budget, Cause cause) {
  return *std::find_if(budget.rows.begin(), budget.rows.end(),
                       [&](const BudgetRow& r) { return r.blur.cause == cause; });
}

BlurBudget budget_for(const BudgetRequest& request) {
  Silent silent;
  const auto made = blur_budget(request, silent);
  EXPECT_TRUE(made) << (made ? "" : made.error().line());
  return *made;
}

const Utc kHigh = *Utc::civil(2026, 11, 26, 4, 0);  // 42 deg
const Utc kLow = *Utc::civil(2026, 11, 26, 0, 40);  // 19 deg

TEST(BlurBudget, LowerDownTheAirTakesMore) {
  const Budget high = budget_for(jupiter_at(kHigh)).predicted, low = budget_for(jupiter_at(kLow)).predicted;
  EXPECT_LT(row(low, Cause::air).half_arc_contrast.value, row(high, Cause::air).half_arc_contrast.value);
  EXPECT_LT(low.half_arc_contrast.value, high.half_arc_contrast.value);
}

// Common practice: without a corrector, dispersion inside the colour planes spoils what stands below 30 deg.
TEST(BlurBudget, TheCorrectorUndoesTheSmearInsideTheColours) {
  BudgetRequest with = jupiter_at(kLow), without = with;
  ASSERT_TRUE(without.rig.corrector);
  without.rig.corrector.reset();
  const Budget corrected = budget_for(with).predicted, bare = budget_for(without).predicted;
  EXPECT_GT(row(corrected, Cause::dispersion_inside).half_arc_contrast.value, 0.9);
  EXPECT_LT(row(bare, Cause::dispersion_inside).half_arc_contrast.value, 0.5);
  EXPECT_TRUE(row(bare, Cause::dispersion_between).blur.undone);
}

TEST(BlurBudget, ALongerRunSmearsMore) {
  BudgetRequest request = jupiter_at(kHigh);
  request.state.run = Duration::minutes(4.0);
  const Budget longer = budget_for(request).predicted, shorter = budget_for(jupiter_at(kHigh)).predicted;
  EXPECT_LT(row(longer, Cause::spin).half_arc_contrast.value, row(shorter, Cause::spin).half_arc_contrast.value);
  EXPECT_GT(row(longer, Cause::noise).half_arc_contrast.value, row(shorter, Cause::noise).half_arc_contrast.value);
}

TEST(BlurBudget, EveryRowSaysWhy) {
  const Budget budget = budget_for(jupiter_at(kHigh)).predicted;
  EXPECT_EQ(budget.rows.size(), 14U);
  for (const BudgetRow& r : budget.rows) EXPECT_FALSE(r.blur.because.empty()) << words_of(r.blur.cause);
}

TEST(BlurBudget, RefusesTheSunAndWhatIsDown) {
  Silent silent;
  BudgetRequest request = jupiter_at(kHigh);
  request.target = sky::Body::sun;
  const auto sun = blur_budget(request, silent);
  ASSERT_FALSE(sun);
  EXPECT_EQ(sun.error().kind, ErrorKind::refused);
  const auto down = blur_budget(jupiter_at(*Utc::civil(2026, 11, 25, 18, 0)), silent);
  ASSERT_FALSE(down);
  EXPECT_EQ(down.error().kind, ErrorKind::bad_input);
}

}  // namespace
}  // namespace halfarc
