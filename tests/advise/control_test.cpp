#include "halfarc/advise/control.h"

#include <gtest/gtest.h>

#include <set>

namespace halfarc {
namespace {

double amount(Control control, std::string_view text) {
  const auto turned = parse_turned(control, text);
  EXPECT_TRUE(turned.has_value()) << text;
  return turned ? turned->amount : 1e9;
}

TEST(Control, IsFoundByItsNameAndNoTwoShareOne) {
  std::set<std::string_view> names;
  for (const Control control : every_control) {
    names.insert(name_of(control));
    const auto found = control_named(name_of(control));
    ASSERT_TRUE(found.has_value());
    EXPECT_EQ(*found, control);
  }
  EXPECT_EQ(names.size(), every_control.size());
  EXPECT_FALSE(control_named("screw-d").has_value());
}

TEST(Control, ReadsAmountsAsPeopleSayThem) {
  EXPECT_DOUBLE_EQ(amount(Control::screw_b, "1/16 cw"), 1.0 / 16.0);
  EXPECT_DOUBLE_EQ(amount(Control::screw_b, "1/16 turn ccw"), -1.0 / 16.0);
  EXPECT_DOUBLE_EQ(amount(Control::focus, "1 1/4 turns anticlockwise"), -1.25);
  EXPECT_DOUBLE_EQ(amount(Control::focus, "0.25 turn counter-clockwise"), -0.25);
  EXPECT_DOUBLE_EQ(amount(Control::levers, "-3.5 marks"), -3.5);
  EXPECT_DOUBLE_EQ(amount(Control::levers, "1 mark up"), 1.0);
  EXPECT_DOUBLE_EQ(amount(Control::levers, "2"), 2.0);
  EXPECT_DOUBLE_EQ(amount(Control::roll, "4 deg cw"), 4.0);
  EXPECT_DOUBLE_EQ(amount(Control::azimuth, "2 s left"), -2.0);
  EXPECT_DOUBLE_EQ(amount(Control::focus, "-1/8"), -0.125);
}

TEST(Control, RefusesWhatCannotBeMeant) {
  for (const std::string_view text : {"", "cw", "1/0 cw", "-1/8 cw", "1/8 up", "1/8 marks", "nan", "1e9x", "1/8 cw cw",
                                      "1//8", "--1", "inf cw", "1/-8"}) {
    EXPECT_FALSE(parse_turned(Control::screw_a, text).has_value()) << text;
  }
  EXPECT_FALSE(parse_turned(Control::levers, "3 cw").has_value());
}

TEST(Control, SaysAmountsBack) {
  EXPECT_EQ(in_words({Control::screw_a, 1.0 / 16.0}), "1/16 turn clockwise");
  EXPECT_EQ(in_words({Control::focus, -1.25}), "1 1/4 turns counter-clockwise");
  EXPECT_EQ(in_words({Control::screw_a, 0.18}), "3/16 turn clockwise");
  EXPECT_EQ(in_words({Control::focus, 0.18}), "0.18 turn clockwise");
  EXPECT_EQ(in_words({Control::focus, -0.012}), "0.012 turn (4 deg) counter-clockwise");
  EXPECT_EQ(in_words({Control::screw_b, 3.0 / 64.0}), "3/64 turn clockwise");
  EXPECT_EQ(in_words({Control::screw_b, -1.0 / 32.0}), "1/32 turn counter-clockwise");
  EXPECT_EQ(in_words({Control::focus, 0.15}), "0.15 turn clockwise");
  EXPECT_EQ(in_words({Control::levers, -3.5}), "3.5 marks down");
  EXPECT_EQ(in_words({Control::roll, 4.0}), "4 deg clockwise");
  for (const Control control : every_control) {
    const Turned turned{control, 0.5};
    const auto again = parse_turned(control, in_words(turned));
    ASSERT_TRUE(again.has_value()) << in_words(turned);
    EXPECT_EQ(*again, turned);
  }
}

}  // namespace
}  // namespace halfarc
