#include "halfarc/report/session.h"

#include <gtest/gtest.h>

#include "harbour_night.h"

namespace halfarc {
namespace {

TEST(Session, NextTimeIsRankedByGainAndLeavesOutWhatNobodyCanChange) {
  const auto next = testing::harbour_night().next;
  ASSERT_EQ(next.size(), 2U);  // collimation gains too little, diffraction has no remedy, the colours are undone
  EXPECT_EQ(next[0].cause, "moving air");
  EXPECT_TRUE(next[0].sure);
  EXPECT_TRUE(next[0].measured);
  EXPECT_EQ(next[1].cause, "tube heat");
  EXPECT_FALSE(next[1].sure);  // 20 % lost, plus or minus 30
  EXPECT_FALSE(next[1].measured);
}

TEST(Session, OfTwoTargetsTheOneThatLosesMoreIsNamed) {
  auto budgets = testing::harbour_night().budgets;
  budgets.push_back(budgets.front());
  budgets[1].target = "Jupiter";
  budgets[1].causes[1].gain = 2.5;
  const auto next = next_time(budgets);
  ASSERT_EQ(next.size(), 2U);
  EXPECT_EQ(next[0].cause, "tube heat");
  EXPECT_EQ(next[0].target, "Jupiter");
  EXPECT_EQ(next[1].target, "Mars");
}

}  // namespace
}  // namespace halfarc
