#include "halfarc/sky/night.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/sky/night_track.h"
#include "halfarc/sky/place.h"

namespace halfarc::sky {
namespace {

const Site kHarbour{Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};

NightTrack track_of(const char* date, const Site& site) {
  const Utc noon = noon_of(*Utc::parse(date), site);
  return NightTrack(site, noon, noon + Duration::days(1.0));
}

TEST(NightTrack, ReadsBackTheFullEphemeris) {
  const NightTrack track = track_of("2026-11-25", kHarbour);
  for (const Body body : kAllBodies) {
    for (double minutes = 0.0; minutes <= 1440.0; minutes += 37.3) {
      const Utc at = track.from() + Duration::minutes(minutes);
      const Place p = place_of(body, observe_from(kHarbour, at));
      const Horizontal h = track.horizontal(body, at);
      const Angle apart =
          angle_between(direction(h.azimuth, h.altitude), direction(p.horizontal.azimuth, p.horizontal.altitude));
      EXPECT_LT(apart.arcsec(), 0.05) << name_of(body);
      EXPECT_NEAR(track.distance(body, at) / p.distance, 1.0, 1e-7) << name_of(body);
    }
  }
}

TEST(NightTrack, FindsTheSameRisesTransitsAndSets) {
  for (const double latitude : {-33.9, 0.0, 57.1, 68.0}) {
    const Site site{Angle::deg(latitude), Angle::deg(20.0), Length::m(0.0)};
    const NightTrack track = track_of("2026-08-14", site);
    for (const Body body : kAllBodies) {
      const auto quick = track.rise_transit_set(body), full = rise_transit_set(body, site, track.from(), track.to());
      ASSERT_EQ(quick.size(), full.size()) << name_of(body) << latitude;
      for (std::size_t i = 0; i < quick.size(); ++i) {
        EXPECT_EQ(quick[i].kind, full[i].kind);
        EXPECT_NEAR((quick[i].at - full[i].at).s(), 0.0, 0.3) << name_of(body) << latitude;
      }
    }
  }
}

TEST(Night, TwilightsLieInsideEachOther) {
  const Night n = night_of(track_of("2026-11-25", kHarbour));
  ASSERT_TRUE(n.sun_down.begins && n.civil.begins && n.nautical.begins && n.astronomical.begins);
  EXPECT_LT(*n.sun_down.begins, *n.civil.begins);
  EXPECT_LT(*n.civil.begins, *n.nautical.begins);
  EXPECT_LT(*n.nautical.begins, *n.astronomical.begins);
  EXPECT_LT(*n.astronomical.begins, n.darkest);
  EXPECT_LT(n.darkest, *n.astronomical.ends);
  EXPECT_LT(*n.astronomical.ends, *n.sun_down.ends);
  EXPECT_FALSE(n.sun_never_sets());
}

TEST(Night, SummerInTheNorthHasNoDarkness) {
  const Night n = night_of(track_of("2026-06-21", kHarbour));
  EXPECT_TRUE(n.sun_down.begins.has_value());
  EXPECT_FALSE(n.astronomical.begins.has_value());
  EXPECT_GT(n.lowest_sun.deg(), -12.0);
}

TEST(Night, PolarDayAndNight) {
  const Site arctic{Angle::deg(70.0), Angle::deg(25.0), Length::m(0.0)};
  const Night day = night_of(track_of("2026-06-21", arctic)), night = night_of(track_of("2026-12-21", arctic));
  EXPECT_TRUE(day.sun_never_sets());
  EXPECT_FALSE(day.sun_never_rises());
  EXPECT_TRUE(night.sun_never_rises());
  EXPECT_TRUE(night.astronomical.begins.has_value());
}

TEST(Night, AnInstantBelongsToTheNightUntilSunrise) {
  const auto noon = [](const char* now, const Site& site) {
    return noon_before_tonight(*Utc::parse(now), site).iso(0);
  };
  EXPECT_EQ(noon("2026-11-25T21:00:00Z", kHarbour).substr(0, 13), "2026-11-25T12");
  EXPECT_EQ(noon("2026-11-26T04:00:00Z", kHarbour).substr(0, 13), "2026-11-25T12");  // still the same night
  EXPECT_EQ(noon("2026-11-26T10:00:00Z", kHarbour).substr(0, 13), "2026-11-26T12");  // the Sun is up: tonight
  const Site east{Angle::deg(-33.9), Angle::deg(151.2), Length::m(0.0)};
  EXPECT_EQ(noon("2026-11-25T11:00:00Z", east).substr(0, 13), "2026-11-25T01");  // noon there is 01:55 UTC
}

TEST(Night, AThousandNightsAtEveryLatitudeAreInOrder) {
  int nights = 0;
  for (int day = 0; day < 1000; ++day) {
    const double latitude = -70.0 + 140.0 * std::fmod(day * 0.6180339887, 1.0);
    const Site site{Angle::deg(latitude), Angle::deg(std::fmod(day * 137.5, 360.0) - 180.0), Length::m(0.0)};
    const Utc noon = noon_of(*Utc::parse("2026-01-01") + Duration::days(day), site);
    const Night n = night_of(NightTrack(site, noon, noon + Duration::days(1.0), {}));
    if (n.sun_down.begins && n.sun_down.ends) {
      EXPECT_LT(*n.sun_down.begins, *n.sun_down.ends) << day;
    } else {
      EXPECT_GT(std::abs(latitude), 60.0) << day;
    }
    ++nights;
  }
  EXPECT_EQ(nights, 1000);
}

}  // namespace
}  // namespace halfarc::sky
