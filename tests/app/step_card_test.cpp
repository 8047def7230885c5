#include "halfarc/app/step_card.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace halfarc {
namespace {

CheckedEntry entry(const std::string& name, const std::string& document) {
  return {{id_of_name(name), name, name, 1, Utc::unix_s(1e9)}, document, {}};
}

const char* const kStar = R"({"schema":"halfarc.check/1","kind":"star","mid_utc":"2026-11-25T20:00:00.000Z",
  "donut":{"coma_waves":[0.3,0.4],"sigma_waves":0.05,"plume_waves":0.2},"exposure":{"peak_fraction":0.5},
  "advice":[{"control":"screw-b","words":"turn b"},{"control":"cooling","words":"Two."}],"words":["One.","Two."]})";
const char* const kPlanet = R"({"schema":"halfarc.check/1","kind":"planet","mid_utc":"2026-11-25T20:10:00.000Z",
  "seeing":{"fwhm_arcsec":1.8,"sigma":0.1},"exposure":{"peak_fraction":0.7},"advice":[{"control":"levers","words":"up"}]})";

nlohmann::json steps_of(std::span<const CheckedEntry> entries) {
  const auto card = nlohmann::json::parse(step_card_json("2026-11-25", entries));
  nlohmann::json steps;
  for (const auto& step : card["steps"]) steps[step["step"].get<std::string>()] = step;
  EXPECT_EQ(card["steps"].size(), 8U);
  return steps;
}

TEST(StepCard, EachReadingAndAdviceStandsAtItsStep) {
  const CheckedEntry entries[] = {entry("a.ser", kStar), entry("b.ser", kPlanet)};
  const auto steps = steps_of(entries);
  EXPECT_DOUBLE_EQ(steps["collimate"]["last"]["value"], 0.5);
  EXPECT_DOUBLE_EQ(steps["collimate"]["last"]["sigma"], 0.05);
  EXPECT_EQ(steps["collimate"]["last"]["recording"], id_of_name("a.ser"));
  ASSERT_EQ(steps["collimate"]["advice"].size(), 1U);
  EXPECT_EQ(steps["collimate"]["advice"][0]["words"], "turn b");
  EXPECT_EQ(steps["cool"]["advice"][0]["words"], "Two.");
  EXPECT_EQ(steps["record"]["last"]["words"], "seeing 1.80 +- 0.10 arcsec");
  EXPECT_FALSE(steps["train"].contains("last"));
}

TEST(StepCard, TheTrendIsInTheOrderOfTheNight) {
  const CheckedEntry entries[] = {entry("a.ser", kStar), entry("b.ser", kPlanet)};
  const auto trend = steps_of(entries)["expose"]["trend"];
  ASSERT_EQ(trend.size(), 2U);
  EXPECT_DOUBLE_EQ(trend[0]["value"], 50.0);
  EXPECT_DOUBLE_EQ(trend[1]["value"], 70.0);
}

TEST(StepCard, ADocumentThatIsNoneHoldsNothing) {
  for (const char* document : {"", "[]", "{", "{\"donut\":3,\"advice\":[]}"}) {
    const CheckedEntry entries[] = {entry("a.ser", document)};
    const auto steps = steps_of(entries);
    for (const auto& [name, step] : steps.items()) EXPECT_FALSE(step.contains("last")) << name << document;
  }
  EXPECT_EQ(steps_of({})["find"]["trend"].size(), 0U);
}

TEST(StepCard, ARecordingInAList) {
  const auto listed = nlohmann::json::parse(recording_json(entry("<b>\xFF.ser", kStar)));
  EXPECT_EQ(listed["words"], "Two. One.");  // what is to be done comes first
  EXPECT_EQ(listed["mid_utc"], "2026-11-25T20:00:00.000Z");
  EXPECT_TRUE(listed["checked"]);
  EXPECT_FALSE(nlohmann::json::parse(recording_json(entry("a.ser", "")))["checked"]);
  EXPECT_EQ(advice_json(kPlanet), R"([{"control":"levers","words":"up"}])");
  EXPECT_EQ(advice_json(""), "[]");
}

}  // namespace
}  // namespace halfarc
