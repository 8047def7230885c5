#include "halfarc/app/advice_basis.h"

#include <gtest/gtest.h>

#include "halfarc/app/rig_file.h"

namespace halfarc {
namespace {

TEST(AdviceBasis, OfTheExampleRigHasScrewsLeversAndKnob) {
  const Rig rig = example_rig();
  const auto train = solve(rig);
  ASSERT_TRUE(train.has_value());
  const AdviceBasis basis = advice_basis(rig, *train);
  ASSERT_TRUE(basis.screws.has_value());
  // A tenth of a turn of a usual screw: more than a wave of coma, less than ten.
  EXPECT_GT(0.1 * basis.screws->waves_per_turn.value, 1.0);
  EXPECT_LT(0.1 * basis.screws->waves_per_turn.value, 10.0);
  EXPECT_FALSE(basis.screws->picture_mirrored);
  ASSERT_TRUE(basis.corrector.has_value());
  EXPECT_GT(basis.corrector->red, basis.corrector->blue);
  EXPECT_GT(basis.colour_inside, 0.02);
  EXPECT_LT(basis.colour_inside, 0.5);
  EXPECT_GT(*basis.waves_per_turn, 1.0);
}

TEST(AdviceBasis, ADiagonalMirrorsThePictureAndTheRollOnlyBehindTheCorrector) {
  Rig rig = example_rig();
  ASSERT_TRUE(add_part(rig, "kind=diagonal,length_mm=80", 0).has_value());
  const auto train = solve(rig);
  ASSERT_TRUE(train.has_value());
  const AdviceBasis basis = advice_basis(rig, *train);
  EXPECT_TRUE(basis.screws->picture_mirrored);
  EXPECT_FALSE(basis.corrector->roll_mirrored);
}

}  // namespace
}  // namespace halfarc
