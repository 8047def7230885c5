#include "halfarc/sky/feature.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "halfarc/sky/disc.h"

namespace halfarc::sky {
namespace {

const Site kHarbour{Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};

Feature spot(double longitude_deg, LongitudeSystem system = LongitudeSystem::two, Body body = Body::jupiter) {
  return {"spot", body, Angle::deg(longitude_deg), system, AngularRate(), *Utc::parse("2026-11-25T12:00Z")};
}

std::vector<Utc> transits(const Feature& f, double days = 1.0) {
  return feature_transits(f, kHarbour, f.measured, f.measured + Duration::days(days));
}

TEST(Feature, StandsOnTheCentralMeridianAtItsTransitOnEveryPlanet) {
  for (const Body body : kAllBodies) {
    if (body == Body::sun || body == Body::moon) continue;
    const LongitudeSystem system = systems_of(body).back();
    for (const double longitude : {0.0, 90.0, 181.0, 359.9}) {
      for (const Utc at : transits(spot(longitude, system, body), 3.0)) {
        const Observer observer = observe_from(kHarbour, at);
        const Disc disc = disc_of(body, place_of(body, observer), observer);
        EXPECT_NEAR(wrap_signed(*disc.sub_observer.in(system)-Angle::deg(longitude)).deg(), 0.0, 0.005)
            << name_of(body) << ' ' << longitude;
      }
    }
  }
}

TEST(Feature, EveryTurnHasItsTransit) {
  EXPECT_EQ(transits(spot(10.0), 10.0).size(), 24U);  // 240 h over 9.93 h is 24.2, and here 24 of them fit
  EXPECT_LE(transits(spot(10.0, LongitudeSystem::one, Body::mars)).size(), 1U);
}

// Source: System II turns in 9 h 55 min 40.632 s (WGCCRE 2015: 870.27 deg a day); the way of Jupiter and the Earth
// changes that by some seconds.
TEST(Feature, TransitsOfSystemTwoRepeatAfterItsRotation) {
  const auto at = transits(spot(100.0), 2.0);
  ASSERT_GE(at.size(), 2U);
  EXPECT_NEAR((at[1] - at[0]).s(), 9 * 3600 + 55 * 60 + 40.632, 10.0);
}

// Source: an observers' guide: 1 2/3 min per degree of System II. (360 deg in 595.68 min make 1.655.)
TEST(Feature, ADegreeOfLongitudeIsOneAndTwoThirdsOfAMinute) {
  const auto first = transits(spot(100.0)), later = transits(spot(130.0));
  ASSERT_FALSE(first.empty());
  const auto next = std::find_if(later.begin(), later.end(), [&](Utc t) { return t > first.front(); });
  ASSERT_NE(next, later.end());
  EXPECT_NEAR((*next - first.front()).minutes() / 30.0, 5.0 / 3.0, 0.02);
}

TEST(Feature, DriftsFromTheDayItWasMeasured) {
  Feature f = spot(350.0);
  f.drift = AngularRate::deg_per_day(0.5);
  const Utc later = f.measured + Duration::days(30.0);
  EXPECT_NEAR(longitude_at(f, later).deg(), 5.0, 1e-9);
  EXPECT_NEAR(longitude_at(f, f.measured - Duration::days(4.0)).deg(), 348.0, 1e-9);
  const auto drifted = feature_transits(f, kHarbour, later, later + Duration::days(1.0));
  const auto still = feature_transits(spot(5.0), kHarbour, later, later + Duration::days(1.0));
  ASSERT_EQ(drifted.size(), still.size());
  ASSERT_FALSE(still.empty());
  EXPECT_NEAR((drifted[0] - still[0]).minutes(), 0.5 * 5.0 / 3.0 * ((still[0] - later) / Duration::days(1.0)), 0.02);
}

TEST(Feature, ListIsReadInAnySensibleSpelling) {
  const auto list = parse_features(
      "name,body,longitude_deg,system,drift_deg_per_day,date\n# giants\nRed Spot, jupiter, 62.5, II, +0.05, "
      "2026-11-20\r\n\nstorm;Sat;10;3;;2026-10-01T21:00Z\n",
      "features.csv");
  ASSERT_TRUE(list.has_value()) << list.error().line();
  ASSERT_EQ(list->size(), 2U);
  EXPECT_EQ((*list)[0].name, "Red Spot");
  EXPECT_EQ((*list)[0].system, LongitudeSystem::two);
  EXPECT_NEAR((*list)[0].drift.deg_per_day(), 0.05, 1e-12);
  EXPECT_EQ((*list)[0].measured, *Utc::parse("2026-11-20"));
  EXPECT_EQ((*list)[1].body, Body::saturn);
  EXPECT_NEAR((*list)[1].longitude.deg(), 10.0, 1e-12);
}

TEST(Feature, ListSaysTheLineAndWhatToType) {
  const struct {
    const char* text;
    const char* what;
    const char* where;
  } cases[] = {{"a,jupiter,10,II,0\n", "6 values", "line 1"},
               {"#\n,jupiter,10,II,0,2026-11-20\n", "no name", "line 2"},
               {"a,moon,10,I,0,2026-11-20\n", "no planet", "line 1"},
               {"a,pluto,10,I,0,2026-11-20\n", "no planet", "line 1"},
               {"a,jupiter,400,II,0,2026-11-20\n", "no longitude", "line 1"},
               {"a,jupiter,nan,II,0,2026-11-20\n", "no longitude", "line 1"},
               {"a,jupiter,10,IV,0,2026-11-20\n", "I, II, III", "line 1"},
               {"a,mars,10,II,0,2026-11-20\n", "no system of longitude of Mars", "line 1"},
               {"a,jupiter,10,II,fast,2026-11-20\n", "no drift", "line 1"},
               {"a,jupiter,10,II,0,someday\n", "no date", "line 1"}};
  for (const auto& c : cases) {
    const auto list = parse_features(c.text, "features.csv");
    ASSERT_FALSE(list.has_value()) << c.text;
    EXPECT_NE(list.error().line().find(c.what), std::string::npos) << list.error().line();
    EXPECT_NE(list.error().line().find(c.where), std::string::npos) << list.error().line();
  }
}

}  // namespace
}  // namespace halfarc::sky
