#include "halfarc/app/rig_night.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

const Utc kSunset = *Utc::civil(2026, 11, 25, 15, 40);
const Utc kSunrise = *Utc::civil(2026, 11, 26, 8, 20);
const sky::Site kSite{Angle::deg(57.1), Angle::deg(-2.1), Length::m(12.0)};

std::vector<TargetHours> one_target(Angle from, Angle to) {
  TargetHours target;
  target.body = sky::Body::jupiter;
  for (int i = 0; i <= 8; ++i)
    target.moments.push_back({kSunset + Duration::hours(5.0 + 0.5 * i), from + (to - from) * (i / 8.0)});
  target.best = target.moments.back();
  target.surface_magnitude = 5.4;
  return {target};
}

RigNight night_with(const Rig& rig, const NightAir& air) {
  const auto night = rig_night(rig, air, kSite, kSunset, kSunrise, one_target(Angle::deg(25.0), Angle::deg(50.0)));
  EXPECT_TRUE(night);
  return *night;
}

// Common practice: about two hours for this class of closed tube after a step of 8 to 10 K in steady air.
TEST(RigNight, TheTubeGoesOutAboutTwoHoursBefore) {
  NightAir air;
  air.fall_per_hour = TemperatureDifference::kelvin(0.0);
  air.evening = Temperature::celsius(8.0);
  const RigNight night = night_with(example_rig(), air);
  ASSERT_TRUE(night.cooling);
  const Duration before = night.cooling->ready - night.cooling->out;
  EXPECT_GE(before.hours(), 1.5);
  EXPECT_LE(before.hours(), 3.0);
  EXPECT_EQ(night.cooling->settling.verdict, Settling::Verdict::settles);
  EXPECT_LE(night.cooling->then.kelvin(), 1.05);
}

TEST(RigNight, FallingAirKeepsItWarmAndAFanHelps) {
  NightAir air;
  air.fall_per_hour = TemperatureDifference::kelvin(2.5);
  const RigNight bare = night_with(example_rig(), air);
  ASSERT_TRUE(bare.cooling);
  EXPECT_NE(bare.cooling->settling.verdict, Settling::Verdict::settles);
  EXPECT_GT(bare.cooling->then.kelvin(), 1.0);
  EXPECT_GT(bare.cooling->seeing.value.arcsec(), 0.3);
  Rig fanned = example_rig();
  fanned.tube.fan = Speed::m_per_s(2.0);
  EXPECT_LT(night_with(fanned, air).cooling->then.kelvin(), bare.cooling->then.kelvin());
}

TEST(RigNight, DampAirFogsTheGlassAndAShieldHelps) {
  NightAir air;
  air.relative_humidity = 0.93;
  const RigNight bare = night_with(example_rig(), air);
  ASSERT_TRUE(bare.dew);
  Rig shielded = example_rig();
  shielded.shield = Length::mm(300.0);
  const RigNight kept = night_with(shielded, air);
  EXPECT_GT(kept.dew->at_first.margin, bare.dew->at_first.margin);
  NightAir dry;
  dry.relative_humidity = 0.4;
  EXPECT_FALSE(night_with(example_rig(), dry).dew->fogs);
}

// The higher it climbs the less the levers are opened; the exposure fills the histogram.
TEST(RigNight, LeversCloseAsTheTargetClimbs) {
  const RigNight night = night_with(example_rig(), {});
  ASSERT_EQ(night.targets.size(), 1U);
  const auto& rows = night.targets.front().rows;
  ASSERT_EQ(rows.size(), 9U);
  for (std::size_t i = 1; i < rows.size(); ++i) {
    ASSERT_TRUE(rows[i].levers);
    EXPECT_LT(rows[i].levers->marks, rows[i - 1].levers->marks);
    EXPECT_LT(rows[i].inside_green, rows[i - 1].inside_green);
  }
  EXPECT_LT(rows[0].red_minus_green, Angle());
  EXPECT_GT(rows[0].blue_minus_green, Angle());
  ASSERT_TRUE(night.targets.front().exposure);
  EXPECT_NEAR(night.targets.front().exposure->histograms[1].peak, 0.75, 0.15);
}

TEST(RigNight, WithoutACorrectorTheFringesAreStillTold) {
  Rig rig = example_rig();
  rig.corrector.reset();
  const RigNight night = night_with(rig, {});
  EXPECT_FALSE(night.targets.front().rows.front().levers);
  EXPECT_GT(night.targets.front().rows.front().blue_minus_green.arcsec(), 0.3);
}

TEST(RigNight, NoTargetNoClocks) {
  const auto night = rig_night(example_rig(), {}, kSite, kSunset, kSunrise, {});
  ASSERT_TRUE(night);
  EXPECT_FALSE(night->cooling);
  EXPECT_FALSE(night->dew);
}

}  // namespace
}  // namespace halfarc
