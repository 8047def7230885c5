#include "halfarc/app/plan_night.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>

#include "halfarc/app/plan_document.h"

namespace halfarc {
namespace {

using sky::Body;

const sky::Site kHarbour{Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};

PlanRequest request_for(const char* date, const sky::Site& site = kHarbour) {
  PlanRequest r;
  r.site = site;
  r.noon = sky::noon_of(*Utc::parse(date), site);
  r.targets = {Body::moon,    Body::mercury, Body::venus,  Body::mars,
               Body::jupiter, Body::saturn,  Body::uranus, Body::neptune};
  return r;
}

const TargetNight& target(const NightPlan& plan, Body body) {
  return *std::find_if(plan.targets.begin(), plan.targets.end(), [body](const auto& t) { return t.body == body; });
}

TEST(PlanNight, WindowsLieWhereTheTargetIsUpAndTheSunDown) {
  const auto plan = plan_night(request_for("2026-11-25"));
  ASSERT_TRUE(plan.has_value());
  for (const TargetNight& t : plan->targets) {
    for (const NightWindow& w : t.windows) {
      EXPECT_LT(w.begins, w.ends);
      EXPECT_LE(w.begins, w.best);
      EXPECT_LE(w.best, w.ends);
      EXPECT_GE(w.best_altitude.deg(), 10.0);
      EXPECT_GT(w.begins, *plan->night.sun_down.begins);
      EXPECT_LT(w.ends, *plan->night.sun_down.ends);
      EXPECT_FALSE(w.reason.empty());
    }
    EXPECT_EQ(t.windows.empty(), !t.none_because.empty());
    EXPECT_TRUE(std::is_sorted(t.windows.begin(), t.windows.end(),
                               [](const auto& a, const auto& b) { return a.score > b.score; }));
  }
}

TEST(PlanNight, AWarmRoofCostsRankAndIsNamed) {
  // Jupiter crosses the south-east before dawn that night. A warm roof stands there up to the meridian.
  PlanRequest r = request_for("2026-11-25");
  r.horizon = *sky::Horizon::parse("0,0\n100,0\n110,30,roof,yes\n180,30,roof,yes\n181,0\n", "horizon.csv");
  r.targets = {Body::jupiter};
  const auto plan = plan_night(r);
  ASSERT_TRUE(plan.has_value());
  const auto& windows = target(*plan, Body::jupiter).windows;
  ASSERT_GE(windows.size(), 2U);
  EXPECT_FALSE(windows.front().over_warm);
  const auto warm = std::find_if(windows.begin(), windows.end(), [](const NightWindow& w) { return w.over_warm; });
  ASSERT_NE(warm, windows.end());
  EXPECT_NE(warm->reason.find("over a warm roof"), std::string::npos) << warm->reason;
  // The clear window before it, low in the east, is scored without the roof's weight.
  const auto open = plan_night([] {
    PlanRequest q = request_for("2026-11-25");
    q.targets = {Body::jupiter};
    return q;
  }());
  EXPECT_EQ(target(*open, Body::jupiter).windows.size(), 1U);
}

TEST(PlanNight, ATallHorizonLeavesNothingAndSaysSo) {
  PlanRequest r = request_for("2026-11-25");
  r.horizon = *sky::Horizon::parse("0,80,tree\n", "horizon.csv");
  const auto plan = plan_night(r);
  ASSERT_TRUE(plan.has_value());
  EXPECT_TRUE(plan->tasks.empty());
  for (const TargetNight& t : plan->targets) EXPECT_FALSE(t.none_because.empty());
}

TEST(PlanNight, TasksBeginWithCoolingAndEndWithTheCap) {
  const auto plan = plan_night(request_for("2026-11-25"));
  ASSERT_GE(plan->tasks.size(), 3U);
  EXPECT_NE(plan->tasks.front().words.find("cool"), std::string::npos);
  EXPECT_NE(plan->tasks.back().words.find("cap telescope"), std::string::npos);
  EXPECT_LT(plan->tasks.back().at, *plan->night.sun_down.ends);
  EXPECT_TRUE(
      std::is_sorted(plan->tasks.begin(), plan->tasks.end(), [](const auto& a, const auto& b) { return a.at < b.at; }));
}

TEST(PlanNight, TheMidnightSunPlansNothingAndWarns) {
  const auto plan = plan_night(request_for("2026-06-21", {Angle::deg(70.0), Angle::deg(25.0), Length::m(0.0)}));
  ASSERT_TRUE(plan.has_value());
  EXPECT_TRUE(plan->tasks.empty());
  EXPECT_NE(plan->cautions.front().find("does not set"), std::string::npos);
}

TEST(PlanNight, RefusesTheSunAndDatesBeyondTheEphemeris) {
  PlanRequest r = request_for("2026-11-25");
  r.targets = {Body::sun};
  EXPECT_EQ(plan_night(r).error().kind, ErrorKind::refused);
  EXPECT_EQ(plan_night(request_for("1700-01-01")).error().kind, ErrorKind::bad_input);
}

// 1000 nights in a row, a place a night from 70 S to 70 N, in ten parts that each see every season. Every eighth night
// plans all targets, the others two of them in turn (bench/plan_bench plans all targets every night).
class ThousandNights : public testing::TestWithParam<int> {};

TEST_P(ThousandNights, ArePlannedWithoutAnError) {
  int without_sunset = 0, without_sunrise = 0;
  for (int i = GetParam(); i < 1000; i += 10) {
    SCOPED_TRACE(i);
    const double latitude = 70.0 * std::sin(6.283185307 * std::fmod(i * 0.6180339887, 1.0));  // dwells near 70
    PlanRequest r = request_for(
        "2026-01-01", {Angle::deg(latitude), Angle::deg(std::fmod(i * 137.5, 360.0) - 180.0), Length::m(0.0)});
    r.noon = r.noon + Duration::days(i);
    const auto turn = static_cast<std::size_t>(i / 10 % 8);
    if (turn != 0) r.targets = {r.targets[turn], r.targets[(turn + 3) % 8]};
    if (i / 10 % 4 == 0) r.rig = example_rig();
    const auto plan = plan_night(r);
    ASSERT_TRUE(plan.has_value()) << plan.error().line();
    EXPECT_EQ(plan->rig.has_value(), r.rig.has_value());
    const auto document = nlohmann::json::parse(plan_json(*plan));
    EXPECT_EQ(document.at("targets").size(), r.targets.size());
    const std::string words = plan_words(*plan);
    EXPECT_EQ(words.find("nan"), std::string::npos);
    EXPECT_EQ(words.find("inf"), std::string::npos);
    without_sunset += plan->night.sun_never_sets() ? 1 : 0;
    without_sunrise += plan->night.sun_never_rises() ? 1 : 0;
  }
  EXPECT_GT(without_sunset, 0);
  EXPECT_GT(without_sunrise, 0);
}

INSTANTIATE_TEST_SUITE_P(TenParts, ThousandNights, testing::Range(0, 10));

// Source: common practice: a spot is well placed 50 minutes either side of its transit.
TEST(PlanNight, FeaturesAreEventsWhileTheirPlanetIsUpInTheDark) {
  PlanRequest r = request_for("2026-11-25");
  for (int longitude = 0; longitude < 360; longitude += 20) {
    r.features.push_back({"spot", Body::jupiter, Angle::deg(longitude), sky::LongitudeSystem::two, AngularRate(),
                          *Utc::parse("2026-11-20")});
  }
  const auto plan = plan_night(r);
  ASSERT_TRUE(plan.has_value());
  const auto& windows = target(*plan, Body::jupiter).windows;
  ASSERT_FALSE(windows.empty());
  std::size_t notes = 0;
  for (const NightNote& note : plan->events) {
    if (note.words.find("crosses the middle") == std::string::npos) continue;
    ++notes;
    EXPECT_TRUE(std::any_of(windows.begin(), windows.end(), [&](const NightWindow& w) {
      return w.begins - Duration::minutes(50.0) < note.at && note.at < w.ends + Duration::minutes(50.0);
    })) << note.words;
  }
  const double hours = (windows.front().ends - windows.front().begins) / Duration::hours(1.0);
  EXPECT_NEAR(static_cast<double>(notes), (hours + 100.0 / 60.0) * 36.27 / 20.0, 2.0);  // 36.27 deg an hour
  r.features.front().measured = *Utc::parse("2026-06-01");
  const auto stale = plan_night(r);
  EXPECT_EQ(stale->cautions.size(), plan->cautions.size() + 1);
}

}  // namespace
}  // namespace halfarc
