#include "halfarc/report/observation_json.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "jupiter.h"

namespace halfarc {
namespace {

TEST(ObservationJson, GivesEveryKnownFieldItsUnit) {
  const auto json = nlohmann::json::parse(observation_json(testing::full_observation()));
  EXPECT_EQ(json["schema"], "halfarc.report/1");
  EXPECT_EQ(json["mid_utc"], "2026-11-26T04:59:59.900Z");
  EXPECT_DOUBLE_EQ(json["disc"]["central_meridian_deg"]["I"], 123.44);
  EXPECT_DOUBLE_EQ(json["recording"]["exposure_ms"], 8.0);
  EXPECT_DOUBLE_EQ(json["orientation"]["north_deg"], 190.0);
  EXPECT_DOUBLE_EQ(json["resolution"]["arcsec"], 0.81);
  EXPECT_EQ(json["processing"].size(), 3U);
}

TEST(ObservationJson, LeavesOutWhatIsNotKnown) {
  Observation o;
  o.object = "Mars";
  const auto json = nlohmann::json::parse(observation_json(o));
  for (const char* key :
       {"span_s", "observer", "station", "disc", "seeing", "orientation", "resolution", "derotated_s"})
    EXPECT_FALSE(json.contains(key)) << key;
}

}  // namespace
}  // namespace halfarc
