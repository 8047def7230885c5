#include "halfarc/sky/rise_set.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc::sky {
namespace {

const Utc kStart = *Utc::parse("2026-06-01T00:00:00Z");

TEST(ZeroCrossings, FindsAllOfASineInOrder) {
  const auto wave = [](Utc t) {
    return Angle::rad(std::sin((t - kStart).hours() * 2.0 * 3.14159265358979 / 24.0 + 0.1));
  };
  const auto found = zero_crossings(wave, kStart, kStart + Duration::days(2), Duration::hours(1));
  ASSERT_EQ(found.size(), 4U);
  for (std::size_t i = 0; i < found.size(); ++i) {
    const double expected = 12.0 * static_cast<double>(i + 1) - 0.1 * 24.0 / (2.0 * 3.14159265358979);
    EXPECT_NEAR((found[i].at - kStart).hours() * 3600.0, expected * 3600.0, 0.06);
    EXPECT_EQ(found[i].upward, i % 2 == 1);
  }
}

TEST(ZeroCrossings, FindsAShortAppearanceBetweenTwoSteps) {
  // A parabola above zero for 12 minutes only, between the samples of a one-hour step; also in the first step.
  for (const double peak : {0.5, 7.4, 23.6}) {
    const auto hump = [peak](Utc t) { return Angle::rad(0.01 - std::pow((t - kStart).hours() - peak, 2.0)); };
    const auto found = zero_crossings(hump, kStart, kStart + Duration::days(1), Duration::hours(1));
    ASSERT_EQ(found.size(), 2U) << peak;
    EXPECT_NEAR((found[0].at - kStart).hours(), peak - 0.1, 1e-4);
    EXPECT_NEAR((found[1].at - kStart).hours(), peak + 0.1, 1e-4);
  }
}

TEST(RiseTransitSet, StandsAtTheStandardAltitudeAndOnTheMeridian) {
  const Site site{Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};
  for (const Body body : kAllBodies) {
    int transits = 0;
    for (const auto& e : rise_transit_set(body, site, kStart, kStart + Duration::days(3))) {
      const Place p = place_of(body, observe_from(site, e.at));
      if (e.kind == SkyEventKind::transit) {
        EXPECT_NEAR(p.hour_angle.arcsec(), 0.0, 1.0);
        ++transits;
      } else {
        EXPECT_NEAR((p.horizontal.altitude - standard_altitude(body, p)).arcsec(), 0.0, 1.0);
        EXPECT_EQ(e.kind == SkyEventKind::rise, e.azimuth < Angle::deg(180.0));
      }
    }
    EXPECT_GE(transits, 2) << name_of(body);
    EXPECT_LE(transits, 4) << name_of(body);
  }
}

TEST(RiseTransitSet, PolarDayAndNightHaveNeitherRiseNorSet) {
  const Site arctic{Angle::deg(70.0), Angle::deg(20.0), Length::m(0.0)};
  for (const char* day : {"2026-06-21", "2026-12-21"}) {
    const Utc start = *Utc::parse(day);
    for (const auto& e : rise_transit_set(Body::sun, arctic, start, start + Duration::days(1))) {
      EXPECT_EQ(e.kind, SkyEventKind::transit);
    }
  }
}

TEST(AltitudeCrossings, TwilightsComeInOrder) {
  const Site site{Angle::deg(40.0), Angle::deg(0.0), Length::m(0.0)};
  const Utc noon = *Utc::parse("2026-03-20T12:00:00Z");
  std::vector<Utc> dusk, dawn;
  for (const Angle a : {kCivilTwilight, kNauticalTwilight, kAstronomicalTwilight}) {
    const auto found = altitude_crossings(Body::sun, site, a, noon, noon + Duration::days(1));
    ASSERT_EQ(found.size(), 2U);
    dusk.push_back(found[0].at);
    dawn.push_back(found[1].at);
  }
  EXPECT_TRUE(dusk[0] < dusk[1] && dusk[1] < dusk[2] && dusk[2] < dawn[2] && dawn[2] < dawn[1] && dawn[1] < dawn[0]);
  // At the equinox the Sun sinks 15 cos(40 deg) degrees an hour near the horizon; a little slower further down.
  EXPECT_NEAR((dusk[2] - dusk[0]).minutes(), 12.0 / (15.0 * std::cos(40.0 * 3.14159265 / 180.0)) * 60.0, 3.0);
}

}  // namespace
}  // namespace halfarc::sky
