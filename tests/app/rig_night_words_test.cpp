#include "halfarc/app/rig_night_words.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace halfarc {
namespace {

const Utc kSunset = *Utc::civil(2026, 11, 25, 15, 40);

CoolingClock clock_with(Settling::Verdict verdict) {
  CoolingClock clock;
  clock.out = *Utc::civil(2026, 11, 25, 17, 10);
  clock.ready = *Utc::civil(2026, 11, 25, 20, 10);
  clock.settling.verdict = verdict;
  clock.then = TemperatureDifference::kelvin(1.6);
  clock.seeing = {Angle::arcsec(0.7), Angle::arcsec(0.35)};
  return clock;
}

TEST(RigNightWords, CoolingSaysWhenOrWhatHelps) {
  CoolingClock settles = clock_with(Settling::Verdict::settles);
  settles.settling.after = Duration::hours(2.5);
  EXPECT_EQ(cooling_words(settles), "carry the tube out by 17:10 to be within 1 K of the air at 20:10");
  const std::string falling = cooling_words(clock_with(Settling::Verdict::falling_air));
  EXPECT_NE(falling.find("never settles"), std::string::npos);
  EXPECT_NE(falling.find("1.6 K warmer"), std::string::npos);
  EXPECT_NE(falling.find("fan or wrap"), std::string::npos);
  EXPECT_NE(cooling_words(clock_with(Settling::Verdict::cold_tube)).find("wrap the tube"), std::string::npos);
  EXPECT_NE(cooling_words(clock_with(Settling::Verdict::needs_longer)).find("even carried out at 17:10"),
            std::string::npos);
}

TEST(RigNightWords, DewSaysHowFarAndWhen) {
  DewClock clock;
  clock.until = *Utc::civil(2026, 11, 26, 2, 0);
  clock.at_first.margin = TemperatureDifference::kelvin(2.1);
  clock.at_first.margin_sigma = TemperatureDifference::kelvin(0.9);
  EXPECT_EQ(dew_words(clock), "the front glass starts 2.1 +- 0.9 K above the dew point and keeps clear until 02:00");
  clock.fogs = *Utc::civil(2026, 11, 25, 23, 30);
  EXPECT_NE(dew_words(clock).find("fogs about 23:30"), std::string::npos);
  clock.at_first.margin = TemperatureDifference::kelvin(-0.4);
  EXPECT_NE(dew_words(clock).find("below the dew point"), std::string::npos);
}

TargetRig climbing() {
  TargetRig target;
  for (int i = 0; i < 9; ++i) {
    LeverRow row;
    row.at = kSunset + Duration::minutes(30.0 * i);
    row.blue_minus_green = Angle::arcsec(1.0 - 0.06 * i);
    row.levers = LeverSetting{true, 5.0 - 0.3 * i, {}, {}};
    target.rows.push_back(row);
  }
  target.best = target.rows.back();
  return target;
}

// Steps of 0.06" are worth touching every second time.
TEST(RigNightWords, LeversAreToldWhereTheyAreWorthTouching) {
  EXPECT_EQ(lever_course(climbing(), 9), "15:40 5.0, 16:40 4.4, 17:40 3.8, 18:40 3.2, 19:40 2.6");
  EXPECT_EQ(lever_course(climbing(), 2), "15:40 5.0, 19:40 2.6");
  EXPECT_EQ(lever_course({}, 4), "");
  LeverRow short_of{};
  short_of.levers = LeverSetting{false, 10.0, Angle::arcsec(1.5), Angle::arcsec(0.34)};
  EXPECT_EQ(lever_words(short_of), "10.0 marks (0.3\" is left)");
  EXPECT_EQ(lever_words({}), "");
}

TEST(RigNightWords, TheDocumentHoldsEveryRow) {
  RigNight night;
  night.rig = example_rig();
  night.targets.push_back(climbing());
  const auto document = nlohmann::json::parse(rig_night_json(night));
  EXPECT_EQ(document["targets"][0]["fringes"].size(), 9U);
  EXPECT_FALSE(document.contains("cooling"));
  EXPECT_NE(air_words(night.air).find("assumed"), std::string::npos);
}

}  // namespace
}  // namespace halfarc
