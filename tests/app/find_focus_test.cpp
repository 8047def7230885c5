#include "halfarc/app/find_focus.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

TEST(FindFocus, ReadsClipAndPosition) {
  const auto plain = parse_focus_ask("night/a@home/mars.ser@-0.25");
  ASSERT_TRUE(plain);
  EXPECT_EQ(plain->clip, "night/a@home/mars.ser");
  EXPECT_DOUBLE_EQ(plain->position, -0.25);
  EXPECT_EQ(plain->approach, Approach::unsaid);

  EXPECT_EQ(parse_focus_ask("m.ser@+0.5cw")->approach, Approach::clockwise);
  EXPECT_DOUBLE_EQ(parse_focus_ask("m.ser@+0.5cw")->position, 0.5);
  EXPECT_EQ(parse_focus_ask("m.ser@1 ccw")->approach, Approach::counter_clockwise);
}

TEST(FindFocus, RefusesWhatIsNoPosition) {
  for (const char* words : {"m.ser", "m.ser@", "m.ser@x", "@0.5", "m.ser@101", "m.ser@inf", "m.ser@0.5cww"}) {
    const auto ask = parse_focus_ask(words);
    ASSERT_FALSE(ask) << words;
    EXPECT_EQ(ask.error().kind, ErrorKind::usage);
  }
}

// From the last clip; a clockwise arrival has the backlash to make up.
TEST(FindFocus, SaysWhatIsLeftToTurn) {
  FoundFocus found;
  found.asks = {{"a.ser", 0.3, Approach::counter_clockwise}, {"b.ser", 0.1, Approach::clockwise}};
  found.series.best = {0.2, 0.02};
  found.tolerance = 0.05;
  EXPECT_NEAR(found.to_turn().value, 0.1, 1e-12);
  EXPECT_FALSE(found.leave_alone());
  found.series.backlash = Measured<double>{0.15, 0.02};
  EXPECT_NEAR(found.to_turn().value, 0.25, 1e-12);
  found.series.best.sigma = 0.3;
  EXPECT_TRUE(found.leave_alone());
}

}  // namespace
}  // namespace halfarc
