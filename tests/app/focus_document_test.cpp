#include "halfarc/app/focus_document.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace halfarc {
namespace {

FoundFocus found_at(double best, double sigma) {
  FoundFocus found;
  found.asks = {{"a.ser", -0.5}, {"b.ser", 0.0}, {"c.ser", 0.0}, {"d.ser", 0.5}};
  found.series.points = {{{0.4, 0.05}}, {{1.0, 0.1}}, {{0.9, 0.1}}, {{0.5, 0.05}}};
  found.series.best = {best, sigma};
  found.series.waves_per_turn = {2.0, 0.1};
  found.tolerance = 0.0625;
  return found;
}

TEST(FocusDocument, PutsClipsOfOnePositionTogether) {
  const auto j = nlohmann::json::parse(focus_json(found_at(0.1, 0.02)));
  ASSERT_EQ(j["points"].size(), 3U);
  EXPECT_EQ(j["points"][1]["clips"], 2);
  EXPECT_NEAR(j["points"][1]["measure"], 0.95, 1e-12);
  EXPECT_NEAR(j["points"][1]["sigma"], 0.1 / std::sqrt(2.0), 1e-12);
  EXPECT_FALSE(j.contains("backlash"));
}

TEST(FocusDocument, SaysWhichWayAndHowFar) {
  const std::string words = focus_words(found_at(0.1, 0.02));
  EXPECT_NE(words.find("Turn the knob 0.400 ± 0.020 turns counter-clockwise"), std::string::npos) << words;
}

// A mirror is pushed up last: with a knob whose clockwise turn pushes it, the other way goes past and comes back.
TEST(FocusDocument, ComesBackTheWayThatPushesTheMirror) {
  FoundFocus found = found_at(0.1, 0.02);
  found.rig_known = found.knob_sense_known = true;
  found.knob.travel_per_turn = Length::um(750.0);
  found.knob.clockwise_is_skyward = true;
  EXPECT_NE(focus_words(found).find("back clockwise, so that the mirror is pushed up last"), std::string::npos) << focus_words(found);
  found.knob.clockwise_is_skyward = false;
  EXPECT_EQ(focus_words(found).find(" back "), std::string::npos);
}

TEST(FocusDocument, LeavesTheKnobAloneWithinTheError) {
  EXPECT_NE(focus_words(found_at(0.47, 0.02)).find("Leave the knob alone"), std::string::npos);
  EXPECT_NE(focus_words(found_at(0.1, 0.6)).find("within the error"), std::string::npos);
}

TEST(FocusDocument, DoubtsComeFirst) {
  FoundFocus found = found_at(0.1, 0.02);
  found.series.doubts = {"there are too few positions", "best focus lies outside the positions tried"};
  const auto j = nlohmann::json::parse(focus_json(found));
  EXPECT_FALSE(j["trustworthy"]);
  const std::string words = j["words"];
  EXPECT_NE(words.find("Do not trust this series: there are too few positions; best focus"), std::string::npos);
}

}  // namespace
}  // namespace halfarc
