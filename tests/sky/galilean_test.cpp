#include "halfarc/sky/galilean.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace halfarc::sky {
namespace {

MoonOffset seen_at(Utc t, GalileanMoon moon) {
  const Observer o = observe_from_earth_centre(t);
  return galilean_offsets(place_of(Body::jupiter, o), o)[static_cast<std::size_t>(moon)];
}

TEST(Galilean, MoonsKeepToTheirOrbits) {
  const double axis_km[] = {421800.0, 671100.0, 1070400.0, 1882700.0};  // from memory
  const double eccentricity[] = {0.005, 0.010, 0.003, 0.008};
  for (double jd = 2451545.0; jd < 2469000.0; jd += 611.7) {
    const auto moons = galilean_from_jupiter(Tt::julian_date(jd));
    for (std::size_t i = 0; i < 4; ++i) {
      const double km = norm(moons[i]) * kMetresPerAu / 1000.0;
      EXPECT_NEAR(km / axis_km[i], 1.0, eccentricity[i] + 0.001);
    }
  }
}

TEST(GalileanEvents, StandOnTheOutlineInFrontOrBehind) {
  const Utc from = *Utc::parse("2026-02-01T00:00:00Z");
  const auto events = galilean_events(from, from + Duration::days(4));
  ASSERT_GT(events.size(), 12U);  // Io alone makes four kinds of beginnings and ends in every 1.77 days
  EXPECT_TRUE(std::is_sorted(events.begin(), events.end(), [](const auto& a, const auto& b) { return a.at < b.at; }));
  for (const auto& e : events) {
    if (e.kind != MoonEventKind::transit && e.kind != MoonEventKind::occultation) continue;
    const MoonOffset m = seen_at(e.at, e.moon);
    EXPECT_NEAR(std::hypot(m.x, m.y / 0.9355), 1.0, 0.002) << describe(e);
    EXPECT_EQ(m.z > 0.0, e.kind == MoonEventKind::transit) << describe(e);
    const MoonOffset later = seen_at(e.at + Duration::minutes(10.0), e.moon);
    EXPECT_EQ(std::hypot(later.x, later.y / 0.9355) < 1.0, e.begins) << describe(e);
  }
}

TEST(GalileanEvents, ShadowsGoAheadBeforeOppositionAndFollowAfterIt) {
  // Opposition 2026 January 10 (from memory). The shadow lies to the west of the moon before it and to the east after
  // it, and Io takes about 2.2 h to cross.
  const auto lead_of_shadow = [](const char* day) {
    const Utc from = *Utc::parse(day);
    Utc transit, shadow;
    for (const auto& e : galilean_events(from, from + Duration::days(3))) {
      if (e.moon != GalileanMoon::io || !e.begins) continue;
      if (e.kind == MoonEventKind::transit && transit == Utc()) transit = e.at;
      if (e.kind == MoonEventKind::shadow && shadow == Utc()) shadow = e.at;
    }
    Duration lead = transit - shadow;  // the two first ones may belong to neighbouring orbits
    const Duration orbit = Duration::hours(42.46);
    if (lead > 0.5 * orbit) lead = lead - orbit;
    if (lead < -0.5 * orbit) lead = lead + orbit;
    return lead;
  };
  EXPECT_GT(lead_of_shadow("2025-11-01").minutes(), 20.0);
  EXPECT_LT(lead_of_shadow("2026-03-15").minutes(), -20.0);
}

TEST(GalileanEvents, IoCrossesInAboutTwoHours) {
  const Utc from = *Utc::parse("2026-02-01T00:00:00Z");
  Utc begun;
  int crossings = 0;
  for (const auto& e : galilean_events(from, from + Duration::days(6))) {
    if (e.moon != GalileanMoon::io || e.kind != MoonEventKind::transit) continue;
    if (e.begins) {
      begun = e.at;
    } else if (begun != Utc()) {
      EXPECT_NEAR((e.at - begun).hours(), 2.2, 0.15);
      ++crossings;
    }
  }
  EXPECT_GE(crossings, 2);
}

TEST(GalileanEvents, AnEmptySpanHasNone) {
  const Utc t = *Utc::parse("2026-02-01T00:00:00Z");
  EXPECT_TRUE(galilean_events(t, t).empty());
  EXPECT_TRUE(galilean_events(t, t - Duration::hours(1)).empty());
}

}  // namespace
}  // namespace halfarc::sky
