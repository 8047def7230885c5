#include "halfarc/sky/horizon.h"

#include <gtest/gtest.h>

namespace halfarc::sky {
namespace {

TEST(Horizon, IsOpenAndLevelWhenNothingWasTraced) {
  const Horizon h;
  EXPECT_EQ(h.altitude(Angle::deg(123.0)).deg(), 0.0);
  EXPECT_EQ(h.at(Angle::deg(-10.0)).kind, Obstacle::open);
}

TEST(Horizon, RunsStraightBetweenPointsAndRoundThroughNorth) {
  const auto h = Horizon::parse(
      "azimuth,altitude,kind,warm\n# the garden\n350, 10, tree\r\n90,30,Roof,yes\n\n10,20,hill,no\n", "horizon.csv");
  ASSERT_TRUE(h.has_value());
  EXPECT_NEAR(h->altitude(Angle::deg(0.0)).deg(), 15.0, 1e-9);  // between 350 and 10
  EXPECT_NEAR(h->altitude(Angle::deg(355.0)).deg(), 12.5, 1e-9);
  EXPECT_NEAR(h->altitude(Angle::deg(50.0)).deg(), 25.0, 1e-9);
  EXPECT_NEAR(h->altitude(Angle::deg(220.0)).deg(), 20.0, 1e-9);  // half way from 90 round to 350
  EXPECT_EQ(h->at(Angle::deg(60.0)).kind, Obstacle::roof);
  EXPECT_TRUE(h->at(Angle::deg(60.0)).warm);
  EXPECT_EQ(h->at(Angle::deg(355.0)).kind, Obstacle::hill);
}

TEST(Horizon, OnePointIsTheSameAllRound) {
  const auto h = Horizon::parse("45,7.5", "horizon.csv");
  ASSERT_TRUE(h.has_value());
  for (const double a : {0.0, 45.0, 300.0}) EXPECT_NEAR(h->altitude(Angle::deg(a)).deg(), 7.5, 1e-9);
}

TEST(Horizon, SaysTheLineAndWhatToType) {
  const struct {
    const char* text;
    const char* what;
    const char* where;
  } cases[] = {{"10,5\n20\n", "2 to 4 values", "line 2"},
               {"10,5\n400,5\n", "no azimuth", "line 2"},
               {"10,5\n\n20,95\n", "no altitude", "line 3"},
               {"10,5,castle\n", "no kind", "line 1"},
               {"10,5,roof,tepid\n", "yes nor no", "line 1"},
               {"10,5\n20,x\n", "no altitude", "line 2"},
               {"10,nan\n", "no altitude", "line 1"},
               {"10,5\n370,6\n", "no azimuth", "line 2"},
               {"10,5\n10,6\n", "two horizon points", "horizon.csv"},
               {"0,5\n360,6\n", "two horizon points", "horizon.csv"}};
  for (const auto& c : cases) {
    const auto h = Horizon::parse(c.text, "horizon.csv");
    ASSERT_FALSE(h.has_value()) << c.text;
    EXPECT_NE(h.error().line().find(c.what), std::string::npos) << h.error().line();
    EXPECT_NE(h.error().where.find(c.where), std::string::npos) << h.error().line();
    EXPECT_FALSE(h.error().to_do.empty()) << h.error().line();
  }
}

}  // namespace
}  // namespace halfarc::sky
