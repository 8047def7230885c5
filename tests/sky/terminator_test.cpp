#include "halfarc/sky/terminator.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "halfarc/sky/disc.h"
#include "halfarc/sky/figure.h"
#include "halfarc/sky/moon_face.h"

namespace halfarc::sky {
namespace {

const Site kHarbour{Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};

// Common practice: at the Moon's equator the terminator walks at 15 km/h; half a degree an hour in the middle of a disc
// of 31' is 0.13" to 0.14" a minute.
TEST(Terminator, WalksAt15KilometresAnHourOverTheMoon) {
  const auto m = terminator_motion(Body::moon, kHarbour, *Utc::parse("2026-11-17T19:00:00Z"), Angle::deg(0.0));
  ASSERT_TRUE(m.has_value());
  EXPECT_NEAR(m->over_ground.km_per_h(), 15.4, 0.3);
  EXPECT_NEAR(m->on_sky.arcsec_per_minute(), 0.135, 0.01);
  EXPECT_TRUE(m->sunrise);  // the Moon waxes
}

TEST(Terminator, StandsWhereTheColongitudeSays) {
  for (const char* utc : {"2026-11-15T20:00:00Z", "2026-11-19T21:00:00Z", "2026-11-29T04:00:00Z"}) {
    const auto m = terminator_motion(Body::moon, kHarbour, *Utc::parse(utc), Angle::deg(0.0));
    ASSERT_TRUE(m.has_value());
    const Observer o = observe_from(kHarbour, *Utc::parse(utc));
    const MoonFace f = moon_face(disc_of(Body::moon, place_of(Body::moon, o), o));
    const Angle line = m->sunrise ? -f.colongitude : Angle::deg(180.0) - f.colongitude;
    EXPECT_NEAR(wrap_signed(m->east_longitude - line).deg(), 0.0, 1e-9) << utc;
  }
}

// How far, in arcseconds, a fixed point of the ground on the terminator at `at` is seen from the line after `later`.
// The line is drawn as a dense curve of points where the Sun is level; both are seen with the eye of `at`.
double seen_shift(Body body, Utc at, Duration later, const TerminatorMotion& m) {
  const auto disc_at = [&](Utc t) {
    const Observer o = observe_from(kHarbour, t);
    return disc_of(body, place_of(body, o), o);
  };
  const auto east = [&](const SubPoint& s) {
    const Angle l = *s.in(systems_of(body).front());
    return counts_longitude_eastward(body) ? l : -l;
  };
  const Disc now = disc_at(at), then = disc_at(at + later);
  const Vec3 eye = direction(east(now.sub_observer), now.sub_observer.planetocentric_latitude);
  const Vec3 sun = direction(east(then.sub_solar), then.sub_solar.planetocentric_latitude);
  const auto seen = [&](Vec3 v) { return v - dot(v, eye) * eye; };
  const Vec3 fixed = direction(m.east_longitude, m.latitude);
  const Vec3 across = unit(cross(fixed, sun)), nearest = cross(sun, across);  // of the line's great circle to `fixed`
  double best = 1e9;
  for (double turn = -0.05; turn <= 0.05; turn += 1e-6) {
    best = std::min(best, norm(seen(std::cos(turn) * nearest + std::sin(turn) * across - fixed)));
  }
  return best * 0.5 * now.equatorial_diameter.arcsec();
}

TEST(Terminator, RateIsTheDisplacementOfTheLine) {
  const struct {
    Body body;
    const char* utc;
  } cases[] = {{Body::moon, "2026-11-15T20:00:00Z"},   {Body::moon, "2026-11-19T21:00:00Z"},
               {Body::moon, "2026-11-29T04:00:00Z"},   {Body::mercury, "2026-11-21T07:00:00Z"},
               {Body::venus, "2026-12-05T07:00:00Z"},  {Body::mars, "2026-11-26T05:00:00Z"},
               {Body::jupiter, "2026-11-26T05:00:00Z"}};
  const Duration later = Duration::minutes(1.0);
  for (const auto& c : cases) {
    const Utc at = *Utc::parse(c.utc);
    for (const double latitude : {0.0, 40.0, -60.0}) {
      const auto m = terminator_motion(c.body, kHarbour, at, Angle::deg(latitude));
      ASSERT_TRUE(m.has_value()) << name_of(c.body) << latitude;
      // Near the limb the foreshortening changes as the line walks: the mean of before and after.
      const double shifts = seen_shift(c.body, at, later, *m) + seen_shift(c.body, at, -later, *m);
      const double rate = 0.5 * shifts / later.minutes();
      EXPECT_NEAR(m->on_sky.arcsec_per_minute(), rate, 0.01 * rate + 1e-5) << name_of(c.body) << latitude;
    }
  }
}

TEST(Terminator, IsNotToldWhereItIsNotSeen) {
  const Utc full_moon = *Utc::parse("2026-11-24T14:53:00Z");
  EXPECT_FALSE(terminator_motion(Body::sun, kHarbour, full_moon, Angle::deg(0.0)).has_value());
  EXPECT_FALSE(terminator_motion(Body::moon, kHarbour, full_moon, Angle::deg(89.9)).has_value());
  const auto limb = terminator_motion(Body::moon, kHarbour, full_moon, Angle::deg(0.0));
  if (limb) {
    EXPECT_LT(limb->on_sky.arcsec_per_minute(), 0.03);  // seen from the side
  }
}

}  // namespace
}  // namespace halfarc::sky
