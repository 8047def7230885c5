#include "halfarc/advise/advice.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

Advice with(double gain, bool leave, Control control) {
  Advice advice;
  advice.control = control;
  if (!leave) advice.turns = {{control, 1.0}};
  advice.gain = {gain, 0.01};
  return advice;
}

TEST(Advice, TheGreatestGainComesFirstAndWhatIsToBeLeftAloneLast) {
  const auto list =
      ranked({with(0.9, true, Control::screw_a), with(0.1, false, Control::levers), with(0.5, false, Control::focus)});
  EXPECT_EQ(list[0].control, Control::focus);
  EXPECT_EQ(list[1].control, Control::levers);
  EXPECT_EQ(list[2].control, Control::screw_a);
  EXPECT_FALSE(go_and_record(list));
  EXPECT_TRUE(go_and_record({with(0.0, true, Control::focus)}));
  EXPECT_FALSE(go_and_record({}));
}

TEST(Advice, SaysGainsAndPlacesAsPeopleDo) {
  EXPECT_EQ(gain_words({0.123, 0.034}), "gains half-arc detail 12 ± 3 % of contrast");
  EXPECT_EQ(gain_words({1.4, 0.2}), "makes half-arc detail 2.4 times as strong");
  EXPECT_EQ(measured_words({1.2361, 0.052}), "1.236 ± 0.052");
  EXPECT_EQ(towards_words({0.0, -3.0}), "towards 12 o'clock on the picture");
  EXPECT_EQ(towards_words({1.0, 0.0}), "towards 3 o'clock on the picture");
}

}  // namespace
}  // namespace halfarc
