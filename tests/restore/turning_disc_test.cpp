#include "halfarc/restore/turning_disc.h"

#include <gtest/gtest.h>

#include <cmath>

namespace halfarc {
namespace {

// A globe that turns 36 degrees an hour, pole up and upright, on a field that does not turn.
RotationModel slow_spin() {
  RotationModel m;
  m.reference = Utc::civil(2026, 12, 4, 21, 0).value();
  m.central_east_longitude.rate = AngularRate::rad_per_s(-Angle::deg(36.0).rad() / 3600.0);
  m.equatorial_diameter.at_reference = Angle::arcsec(40.0);
  return m;
}

DiscOnImage disc_of(double radius, double north_deg = 0.0) {
  DiscOnImage disc;
  disc.equatorial_radius = radius;
  disc.north = Angle::deg(north_deg);
  return disc;
}

PixelOffset carried(const RotationModel& m, const DiscOnImage& disc, PixelOffset from, Duration later) {
  const TurningDisc now(m, disc, m.reference);
  const TurningDisc then(m, disc, m.reference + later);
  const TurningDisc::Spot spot = now.at(from);
  EXPECT_EQ(spot.part, TurningDisc::Part::surface);
  return then.find(spot.place).from_centre;
}

TEST(TurningDisc, TheMiddleMovesToTheRightWhenNorthIsUp) {
  // 36 deg of turning: sin 36 deg of the radius.
  const PixelOffset p = carried(slow_spin(), disc_of(100.0), {0.0, 0.0}, Duration::hours(1.0));
  EXPECT_NEAR(p.x, 100.0 * std::sin(0.2 * M_PI), 1e-9);
  EXPECT_NEAR(p.y, 0.0, 1e-9);
}

TEST(TurningDisc, NorthAndMirrorTurnTheMotion) {
  const double far = 100.0 * std::sin(0.2 * M_PI);
  const PixelOffset down = carried(slow_spin(), disc_of(100.0, 90.0), {0.0, 0.0}, Duration::hours(1.0));
  EXPECT_NEAR(down.x, 0.0, 1e-9);  // north to the right: east is down
  EXPECT_NEAR(down.y, far, 1e-9);
  DiscOnImage mirrored = disc_of(100.0);
  mirrored.mirrored = true;
  EXPECT_NEAR(carried(slow_spin(), mirrored, {0.0, 0.0}, Duration::hours(1.0)).x, -far, 1e-9);
}

TEST(TurningDisc, AHigherLatitudeMovesLessAndStaysAtItsHeight) {
  RotationModel m = slow_spin();
  m.polar_over_equatorial = 0.9;
  const PixelOffset p =
      carried(m, disc_of(100.0), {0.0, -45.0}, Duration::hours(1.0));  // z = 0.45: half the polar radius
  EXPECT_NEAR(p.x, 100.0 * std::sqrt(0.75) * std::sin(0.2 * M_PI), 1e-9);
  EXPECT_NEAR(p.y, -45.0, 1e-9);
}

TEST(TurningDisc, WhatTurnsAwayIsBehindTheLimb) {
  const RotationModel m = slow_spin();
  const TurningDisc now(m, disc_of(100.0), m.reference);
  const TurningDisc before(m, disc_of(100.0), m.reference - Duration::hours(1.0));
  const TurningDisc after(m, disc_of(100.0), m.reference + Duration::hours(1.0));
  const TurningDisc::Spot rising = now.at({-95.0, 0.0});
  EXPECT_LT(before.find(rising.place).to_us, 0.0);
  EXPECT_GT(after.find(rising.place).to_us, rising.to_us);
  EXPECT_EQ(now.at({101.0, 0.0}).part, TurningDisc::Part::beside);
}

TEST(TurningDisc, ThereAndBackIsWhereItWas) {
  RotationModel m = slow_spin();
  m.polar_over_equatorial = 0.935;
  m.sub_observer_latitude = {Angle::deg(24.0), AngularRate::rad_per_s(1e-6), 0.0};
  m.pole_from_zenith.rate = AngularRate::rad_per_s(7e-5);
  m.equatorial_diameter.rate = AngularRate::rad_per_s(1e-9);
  const DiscOnImage disc = disc_of(80.0, 33.0);
  const TurningDisc now(m, disc, m.reference);
  const TurningDisc then(m, disc, m.reference + Duration::minutes(20.0));
  for (const PixelOffset p : {PixelOffset{10.0, -20.0}, PixelOffset{-50.0, 30.0}, PixelOffset{3.0, 60.0}}) {
    const PixelOffset there = then.find(now.at(p).place).from_centre;
    const PixelOffset back = now.find(then.at(there).place).from_centre;
    EXPECT_NEAR(back.x, p.x, 1e-9);
    EXPECT_NEAR(back.y, p.y, 1e-9);
    const PixelOffset beside = then.carried_to(now, now.carried_to(then, p));
    EXPECT_NEAR(beside.x, p.x, 1e-9);
    EXPECT_NEAR(beside.y, p.y, 1e-9);
  }
}

TEST(TurningDisc, TheFieldTurnsByTheMountThatCarriesIt) {
  RotationModel m = slow_spin();
  m.pole_from_zenith.rate = AngularRate::rad_per_s(1e-4);
  m.pole_from_north.rate = AngularRate::rad_per_s(1e-6);
  DiscOnImage disc = disc_of(50.0, 10.0);
  const Utc later = m.reference + Duration::s(1000.0);
  EXPECT_NEAR(north_at(m, disc, later).rad(), disc.north.rad() + 0.1, 1e-12);
  disc.mirrored = true;
  EXPECT_NEAR(north_at(m, disc, later).rad(), disc.north.rad() - 0.1, 1e-12);
  disc.mirrored = false;
  disc.mount = MountKind::equatorial;
  // North through east runs against the clock on an erect picture.
  EXPECT_NEAR(north_at(m, disc, later).rad(), disc.north.rad() - 0.001, 1e-12);
}

// A ring seen 20 deg open from the north, the Sun likewise: in front it crosses the globe below the middle.
TEST(TurningDisc, TheRingBeforeTheGlobeIsNoSurface) {
  RotationModel m = slow_spin();
  m.sub_observer_latitude.at_reference = Angle::deg(20.0);
  m.sub_solar_latitude.at_reference = Angle::deg(20.0);
  DiscOnImage disc = disc_of(100.0);
  disc.ring = kRingOfSaturn;
  const TurningDisc globe(m, disc, m.reference);
  const double at = 100.0 * 1.6 * std::sin(Angle::deg(20.0).rad());
  EXPECT_EQ(globe.at({0.0, at}).part, TurningDisc::Part::still);
  EXPECT_EQ(globe.at({0.0, -at}).part, TurningDisc::Part::surface);
  EXPECT_EQ(globe.at({150.0, 0.0}).part, TurningDisc::Part::beside);
  disc.ring = {0.0, 0.0};
  EXPECT_EQ(TurningDisc(m, disc, m.reference).at({0.0, at}).part, TurningDisc::Part::surface);
}

}  // namespace
}  // namespace halfarc
