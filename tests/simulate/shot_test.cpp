#include "halfarc/simulate/shot.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <limits>

namespace halfarc {
namespace {

TEST(Shot, TheScenarioIsSound) {
  const ShotSpec shot;
  EXPECT_TRUE(check(shot));
}

TEST(Shot, LengthEndsWithTheLastExposure) { EXPECT_NEAR(length_of(Timing{}).s(), 500 * 0.010 + 0.008, 1e-12); }

TEST(Shot, NonsenseIsRefusedByName) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  struct Case {
    const char* key;
    std::function<void(ShotSpec&)> spoil;
  };
  const Case cases[] = {
      {"camera.bits", [](ShotSpec& s) { s.sensor.bits = 7; }},
      {"pointing.wind.rms_arcsec", [](ShotSpec& s) { s.pointing.wind.rms.x = Angle::arcsec(1e4); }},
      {"pointing",
       [](ShotSpec& s) {
         s.pointing.keys.push_back({{}, Duration::s(1.0), {Angle::arcsec(500.0), {}}});
       }},
      {"pointing.periodic.period_s", [](ShotSpec& s) { s.pointing.periodic.period = Duration::s(0.0); }},
      {"pointing.key.lasting_s",
       [](ShotSpec& s) {
         s.pointing.keys.push_back({{}, Duration::s(-1.0), {}});
       }},
      {"pointing.nudge.settling_s",
       [](ShotSpec& s) {
         s.pointing.nudges.push_back({{}, {}, 4.0, Duration::s(0.0)});
       }},
      {"telescope.plume.rms_waves", [=](ShotSpec& s) { s.plume.rms_waves = nan; }},
      {"telescope.dew.loss", [](ShotSpec& s) { s.dew.loss = 1.2; }},
      {"camera.dust.loss",
       [](ShotSpec& s) {
         s.blemishes.dust.push_back({{}, 10.0, -0.1});
       }},
      {"timing.dropped", [](ShotSpec& s) { s.timing.clock.dropped = 0.95; }},
      {"air.spells_spread", [](ShotSpec& s) { s.air.spells.spread = 3.0; }},
      {"air.layer.pulse_duty", [](ShotSpec& s) { s.air.layers[0].pulses.duty = 0.0; }},
      {"body.spin_deg_per_hour", [=](ShotSpec& s) { s.body.spin = AngularRate::rad_per_s(nan); }},
      {"body.moon.diameter_arcsec",
       [](ShotSpec& s) {
         s.body.moons.push_back({{}, {}, 5.0, Angle()});
       }},
  };
  for (const Case& c : cases) {
    ShotSpec shot;
    c.spoil(shot);
    const auto verdict = check(shot);
    ASSERT_FALSE(verdict) << c.key;
    EXPECT_EQ(verdict.error().kind, ErrorKind::bad_input);
    EXPECT_EQ(verdict.error().where, c.key);
  }
}

}  // namespace
}  // namespace halfarc
