#include "halfarc/simulate/collimation.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

Collimation three_screws(double second_pitch = 1.0) {
  Collimation c;
  for (std::size_t i = 0; i < 3; ++i) {
    c.screws[i].direction = Angle::deg(37.0 + 120.0 * static_cast<double>(i));
    c.screws[i].coma_waves_per_turn = 15.0 * (i == 1 ? second_pitch : 1.0);
  }
  return c;
}

TEST(Collimation, AllThreeScrewsAlikeDoNothing) {
  Collimation c = three_screws();
  c.at_first = {0.0, 0.3, -0.2};
  for (auto& screw : c.screws) screw.turns += 0.25;
  EXPECT_NEAR(coma_of(c).coma_x_waves, 0.3, 1e-12);
  EXPECT_NEAR(coma_of(c).coma_y_waves, -0.2, 1e-12);
}

TEST(Collimation, UnequalPitchesLeaveTheirDifference) {
  Collimation c = three_screws(1.1);
  for (auto& screw : c.screws) screw.turns = 0.1;
  EXPECT_NEAR(std::hypot(coma_of(c).coma_x_waves, coma_of(c).coma_y_waves), 0.15, 1e-9);
}

TEST(Collimation, TwoScrewsMendIt) {
  Collimation c = three_screws(1.07);
  c.at_first = {0.0, -0.9, 0.55};
  const auto turns = turns_to_collimate(c);
  int used = 0;
  for (std::size_t i = 0; i < 3; ++i) {
    used += turns[i] != 0.0 ? 1 : 0;
    EXPECT_LT(std::abs(turns[i]), 0.1);
    c.screws[i].turns += turns[i];
  }
  EXPECT_LE(used, 2);
  EXPECT_NEAR(coma_of(c).coma_x_waves, 0.0, 1e-12);
  EXPECT_NEAR(coma_of(c).coma_y_waves, 0.0, 1e-12);
}

}  // namespace
}  // namespace halfarc
