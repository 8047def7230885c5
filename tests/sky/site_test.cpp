#include "halfarc/sky/site.h"

#include <gtest/gtest.h>

namespace halfarc::sky {
namespace {

void expect_site(const char* text, double latitude, double longitude, double height) {
  const auto site = parse_site(text);
  ASSERT_TRUE(site.has_value()) << text;
  EXPECT_NEAR(site->latitude.deg(), latitude, 1e-9) << text;
  EXPECT_NEAR(site->longitude.deg(), longitude, 1e-9) << text;
  EXPECT_NEAR(site->height.m(), height, 1e-9) << text;
}

TEST(Site, IsReadAsPeopleWriteIt) {
  expect_site("57.1,-2.1,12", 57.1, -2.1, 12.0);
  expect_site("57.1 -2.1 12", 57.1, -2.1, 12.0);
  expect_site("57.1, -2.1", 57.1, -2.1, 0.0);
  expect_site("57.1N 2.1W 12 m", 57.1, -2.1, 12.0);
  expect_site("57.1 north, 2.1 west, 12 metres", 57.1, -2.1, 12.0);
  expect_site("57 06 30 N, 2 06 W", 57.0 + 6.5 / 60.0, -2.1, 0.0);
  expect_site("57°06'30\"N 2°06'W 250m", 57.0 + 6.5 / 60.0, -2.1, 250.0);
  expect_site("33.9S,151.2E,-3", -33.9, 151.2, -3.0);
  expect_site("-45,190,0", -45.0, -170.0, 0.0);
}

TEST(Site, SaysWhatIsWrongAndWhatToType) {
  const struct {
    const char* text;
    const char* why;
  } cases[] = {{"", "no place"},
               {"57.1", "longitude is missing"},
               {"97.1,2,3", "latitude lies between"},
               {"2.1W,57.1N", "comes first"},
               {"57.1,2.1,12000", "height lies between"},
               {"57.1,2.1,3,4", "more than three"},
               {"57 70 N 2 W", "cannot be told apart"},
               {"home", "no place"}};
  for (const auto& c : cases) {
    const auto site = parse_site(c.text);
    ASSERT_FALSE(site.has_value()) << c.text;
    EXPECT_NE(site.error().what.find(c.why), std::string::npos) << site.error().line();
    EXPECT_NE(site.error().to_do.find("57.1,-2.1,12"), std::string::npos);
  }
}

// Source: US Standard Atmosphere 1976, quoted: 0 m 1013.25 hPa, 1000 m 898.76, 3000 m 701.21 (from memory).
TEST(Site, UsualPressureIsTheStandardAtmospheres) {
  EXPECT_NEAR(usual_weather(Length::m(0)).pressure.hpa(), 1013.25, 0.01);
  EXPECT_NEAR(usual_weather(Length::m(1000)).pressure.hpa(), 898.76, 0.3);
  EXPECT_NEAR(usual_weather(Length::m(3000)).pressure.hpa(), 701.21, 0.6);
}

}  // namespace
}  // namespace halfarc::sky
