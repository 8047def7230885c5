#include "halfarc/app/night_script.h"

#include <gtest/gtest.h>

#include <set>

namespace halfarc {
namespace {

TEST(NightScript, HasEveryPartOfTheEveningAndItsMistakes) {
  const NightScript script = whole_night();
  std::set<Purpose> purposes;
  std::set<std::string> names;
  int mistakes = 0;
  int practices = 0;
  for (const NightStep& step : script.steps) {
    EXPECT_FALSE(step.says.empty());
    mistakes += step.says.find("istake") != std::string::npos ? 1 : 0;
    if (const auto* record = std::get_if<Record>(&step.deed)) {
      purposes.insert(record->purpose);
      practices += record->practice ? 1 : 0;
      EXPECT_TRUE(names.insert(record->name).second) << record->name;
    }
  }
  EXPECT_EQ(purposes.size(), 8U);
  EXPECT_EQ(practices, 3);
  EXPECT_GE(mistakes, 6);
}

TEST(NightScript, TheFocusSeriesHasNineClips) {
  int clips = 0;
  for (const NightStep& step : whole_night().steps) {
    const auto* record = std::get_if<Record>(&step.deed);
    clips += record != nullptr && record->purpose == Purpose::focus_series ? 1 : 0;
  }
  EXPECT_EQ(clips, 9);
}

TEST(NightScript, TheShortPracticeIsItsBeginning) {
  const auto all = whole_night().steps;
  const auto part = collimation_only().steps;
  ASSERT_LT(part.size(), all.size());
  for (std::size_t i = 0; i < part.size(); ++i) EXPECT_EQ(part[i].says, all[i].says);
}

}  // namespace
}  // namespace halfarc
