#include "halfarc/sky/sun_safety.h"

#include <gtest/gtest.h>

namespace halfarc::sky {
namespace {

const Site kHarbour{Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};

struct Sky {
  Place target, sun;
};

Sky sky_at(Body body, const char* utc) {
  const Observer o = observe_from(kHarbour, *Utc::parse(utc));
  return {place_of(body, o), place_of(Body::sun, o)};
}

TEST(SunSafety, RefusesInsideTheExclusionByDayOnly) {
  const Sky noon = sky_at(Body::mercury, "2026-06-15T12:00:00Z");
  ASSERT_LT(separation(noon.target, noon.sun).deg(), 30.0);
  const auto refused = check_pointing(Body::mercury, noon.target, noon.sun, SunRule{});
  ASSERT_FALSE(refused.has_value());
  EXPECT_EQ(refused.error().kind, ErrorKind::refused);
  EXPECT_EQ(exit_code(refused.error().kind), 4);
  const Sky night = sky_at(Body::mercury, "2026-12-15T23:00:00Z");
  EXPECT_TRUE(check_pointing(Body::mercury, night.target, night.sun, SunRule{}).has_value());
  EXPECT_TRUE(sun_cautions(Body::mercury, night.target, night.sun, SunRule{}).empty());
}

TEST(SunSafety, NeverPointsAtTheSunItself) {
  const Sky noon = sky_at(Body::sun, "2026-06-15T12:00:00Z");
  const auto rule = sun_rule(Angle::deg(10.0), "a test of three words");
  ASSERT_TRUE(rule.has_value());
  EXPECT_FALSE(check_pointing(Body::sun, noon.target, noon.sun, *rule).has_value());
}

TEST(SunSafety, WarnsByDayEvenFarFromTheSun) {
  const Sky day = sky_at(Body::jupiter, "2026-11-25T10:00:00Z");
  ASSERT_GT(separation(day.target, day.sun).deg(), 30.0);
  EXPECT_TRUE(check_pointing(Body::jupiter, day.target, day.sun, SunRule{}).has_value());
  const auto cautions = sun_cautions(Body::jupiter, day.target, day.sun, SunRule{});
  ASSERT_GE(cautions.size(), 2U);
  EXPECT_NE(cautions.front().find("Sun is up"), std::string::npos);
}

TEST(SunSafety, TheExclusionWidensFreelyAndNarrowsOnlyWithAReason) {
  EXPECT_TRUE(sun_rule(Angle::deg(60.0), "").has_value());
  EXPECT_TRUE(sun_rule(Angle::deg(30.0), "").has_value());
  EXPECT_FALSE(sun_rule(Angle::deg(20.0), "").has_value());
  EXPECT_FALSE(sun_rule(Angle::deg(20.0), "because").has_value());
  EXPECT_TRUE(sun_rule(Angle::deg(20.0), "tube stands in the shade").has_value());
  EXPECT_FALSE(sun_rule(Angle::deg(5.0), "tube stands in the shade").has_value());
  EXPECT_EQ(sun_rule(Angle::deg(5.0), "tube stands in the shade").error().kind, ErrorKind::refused);
}

TEST(SunSafety, ASlewAcrossTheSunIsFoundThoughBothEndsAreFar) {
  const Horizontal sun{Angle::deg(180.0), Angle::deg(30.0)};
  const Horizontal east{Angle::deg(100.0), Angle::deg(30.0)}, west{Angle::deg(260.0), Angle::deg(30.0)};
  EXPECT_LT(closest_approach(east, west, sun).deg(), 0.3);
  // One axis after the other: up beside the Sun, then over it.
  const Horizontal high{Angle::deg(180.0), Angle::deg(85.0)};
  EXPECT_LT(closest_approach(east, high, sun).deg(), 0.3);  // azimuth first would end on the Sun
  const Horizontal north{Angle::deg(20.0), Angle::deg(40.0)}, north_east{Angle::deg(60.0), Angle::deg(50.0)};
  EXPECT_LT(closest_approach(north, north_east, sun).deg(), 25.0);  // the long way round would pass it
}

TEST(SunSafety, ASlewByNightIsFree) {
  const Sky night = sky_at(Body::jupiter, "2026-12-15T23:00:00Z");
  const Horizontal a{Angle::deg(100.0), Angle::deg(30.0)}, b{Angle::deg(260.0), Angle::deg(30.0)};
  EXPECT_TRUE(check_slew(a, b, night.sun, SunRule{}).has_value());
  const Sky day = sky_at(Body::jupiter, "2026-06-15T12:00:00Z");
  EXPECT_FALSE(check_slew(a, b, day.sun, SunRule{}).has_value());
}

}  // namespace
}  // namespace halfarc::sky
