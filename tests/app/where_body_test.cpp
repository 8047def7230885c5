#include "halfarc/app/where_body.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "halfarc/app/where_document.h"

namespace halfarc {
namespace {

using sky::Body;

const sky::Site kHarbour{Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};

WhereRequest ask(Body body, const char* utc, sky::Site site = kHarbour) {
  WhereRequest request;
  request.body = body;
  request.site = site;
  request.utc = *Utc::parse(utc);
  return request;
}

nlohmann::json document(Body body, const char* utc) {
  const auto found = where_body(ask(body, utc));
  EXPECT_TRUE(found.has_value());
  return nlohmann::json::parse(where_json(*found));
}

TEST(Where, BlocksThatDoNotApplyAreAbsent) {
  const char* night = "2026-11-25T22:04:00Z";
  const auto saturn = document(Body::saturn, night);
  EXPECT_TRUE(saturn.contains("ring"));
  EXPECT_EQ(saturn.at("satellites").size(), 8U);
  EXPECT_FALSE(saturn.contains("moon"));
  const auto moon = document(Body::moon, night);
  EXPECT_TRUE(moon.contains("moon"));
  EXPECT_FALSE(moon.contains("ring"));
  EXPECT_FALSE(moon.contains("satellites"));
  const auto jupiter = document(Body::jupiter, night);
  EXPECT_EQ(jupiter.at("satellites").size(), 4U);
  EXPECT_EQ(jupiter.at("central_meridian_deg").size(), 3U);
  EXPECT_FALSE(document(Body::venus, night).contains("airmass"));  // it has set
  EXPECT_FALSE(document(Body::sun, night).contains("phase_angle_deg"));
}

TEST(Where, TheMoonsTerminatorCreeps) {
  const auto moon = document(Body::moon, "2026-11-17T19:00:00Z").at("moon");  // first quarter
  const auto& terminator = moon.at("terminator");
  ASSERT_EQ(terminator.size(), 3U);
  EXPECT_NEAR(terminator[0].at("arcsec_per_min").get<double>(), 0.135, 0.01);
  EXPECT_NEAR(terminator[0].at("east_longitude_deg").get<double>(), -moon.at("colongitude_deg").get<double>(), 2e-4);
  EXPECT_TRUE(terminator[0].at("sunrise").get<bool>());
  EXPECT_NE(where_words(*where_body(ask(Body::moon, "2026-11-17T19:00:00Z"))).find("a minute at the equator"),
            std::string::npos);
}

TEST(Where, TheSameQuestionGivesTheSameBytes) {
  const auto first = where_body(ask(Body::mars, "2026-11-26T04:00:00Z"));
  const auto second = where_body(ask(Body::mars, "2026-11-26T04:00:00Z"));
  EXPECT_EQ(where_json(*first), where_json(*second));
}

TEST(Where, RefusesNearTheSunByDay) {
  const auto refused = where_body(ask(Body::venus, "2026-10-25T12:00:00Z"));
  ASSERT_FALSE(refused.has_value());
  EXPECT_EQ(exit_code(refused.error().kind), 4);
  const auto night = where_body(ask(Body::venus, "2026-10-25T23:00:00Z"));
  ASSERT_TRUE(night.has_value());
  EXPECT_TRUE(night->cautions.empty());
}

TEST(Where, ByDayTheSunComesFirst) {
  const auto found = where_body(ask(Body::moon, "2026-11-20T13:00:00Z"));
  ASSERT_TRUE(found.has_value()) << found.error().line();
  ASSERT_TRUE(found->sun_is_up);
  const std::string words = where_words(*found);
  EXPECT_LT(words.find("The Sun is up"), words.find("Altitude"));
}

TEST(Where, SaysHowFarTheEphemerisReaches) {
  for (const char* utc : {"1749-12-31", "2250-01-01"}) {
    const auto found = where_body(ask(Body::mars, utc));
    ASSERT_FALSE(found.has_value());
    EXPECT_EQ(found.error().kind, ErrorKind::bad_input);
  }
  EXPECT_TRUE(where_body(ask(Body::neptune, "1750-06-01T00:00:00Z")).has_value());
}

TEST(Where, WorksForEveryBodyAtEveryLatitudeAndSeason) {
  for (const Body body : sky::kAllBodies) {
    for (int latitude = -90; latitude <= 90; latitude += 30) {
      for (const char* utc :
           {"1800-03-03T03:03:03Z", "2026-06-21T00:00:00Z", "2026-12-21T12:00:00Z", "2200-09-09T21:00:00Z"}) {
        const auto found = where_body(ask(body, utc, {Angle::deg(latitude), Angle::deg(100.0), Length::m(0.0)}));
        if (!found) {
          EXPECT_EQ(found.error().kind, ErrorKind::refused);
          continue;
        }
        EXPECT_EQ(where_json(*found).find("nan"), std::string::npos);
        EXPECT_EQ(where_json(*found).find("null"), std::string::npos) << name_of(body) << latitude << utc;
        EXPECT_EQ(where_words(*found).find("nan"), std::string::npos);
      }
    }
  }
}

}  // namespace
}  // namespace halfarc
