#include "halfarc/report/session_json.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "harbour_night.h"

namespace halfarc {
namespace {

TEST(SessionJson, GivesNumbersWithTheirErrorsAndLeavesOutWhatIsNotKnown) {
  const auto json = nlohmann::json::parse(session_json(testing::harbour_night()));
  EXPECT_EQ(json["schema"], "halfarc.session/1");
  EXPECT_EQ(json["next"].size(), 2U);
  const auto& causes = json["budgets"][0]["causes"];
  EXPECT_DOUBLE_EQ(causes[0]["measured"]["value"], 0.4);
  EXPECT_FALSE(causes[1].contains("measured"));
  EXPECT_FALSE(causes[4].contains("gain"));
  EXPECT_FALSE(causes[3].contains("remedy"));
  EXPECT_DOUBLE_EQ(json["images"][0]["resolved"]["sigma"], 0.03);
  EXPECT_EQ(json["seeing"][1]["utc"], "2026-11-26T00:10:30.000Z");
}

}  // namespace
}  // namespace halfarc
