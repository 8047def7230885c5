#include "halfarc/app/hidden_shot.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "halfarc/app/home.h"
#include "halfarc/simulate/scene.h"

namespace halfarc {
namespace {

const Utc kOut = Utc::civil(2027, 2, 14, 19, 15, 0.0).value();

HiddenRig rig_at(double hours) {
  HiddenRig hidden = hidden_rig(example_rig(), example_site().site, kOut, 1).value();
  pass(hidden, Duration::hours(hours));
  for (const Turned& turned : to_mend(hidden, Mending::focus, 1.0, {})) EXPECT_TRUE(apply(hidden, turned));
  return hidden;
}

const NightTarget kGiant{sky::Body::jupiter, {}, 0.0, {}};

TEST(HiddenShot, ThePlanetFillsThreeQuartersOfTheScale) {
  HiddenRig hidden = rig_at(2.0);
  ASSERT_TRUE(set_exposure(hidden, kGiant, 0.75));
  ClipWish wish;
  wish.width = wish.height = 304;
  const Result<ShotSpec> shot = hidden_shot(hidden, kGiant, wish);
  ASSERT_TRUE(shot) << shot.error().line();
  EXPECT_EQ(shot->body.kind, BodyKind::banded_giant);
  const Scene scene = draw_scene(shot->body, {304, 304, shot->scale}, 1);
  float brightest = 0.0F;
  for (const float s : scene.cells[1].samples()) brightest = std::max(brightest, s);
  const double peak = static_cast<double>(brightest) * shot->brightness.electrons[1] / hidden.e_per_adu;
  EXPECT_GT(peak, 0.4 * shot->sensor.full_scale_adu());
  EXPECT_LT(peak, 1.0 * shot->sensor.full_scale_adu());
}

TEST(HiddenShot, ABodyBelowTheHorizonIsSaid) {
  const HiddenRig hidden = rig_at(0.0);
  const Result<ShotSpec> venus = hidden_shot(hidden, {sky::Body::venus, {}, 0.0, {}}, {});
  ASSERT_FALSE(venus);
  EXPECT_NE(venus.error().line().find("below the horizon"), std::string::npos);
}

TEST(HiddenShot, FarFromFocusThereIsAGlow) {
  HiddenRig hidden = rig_at(1.0);
  ASSERT_TRUE(set_exposure(hidden, {}, 0.5));
  ASSERT_TRUE(apply(hidden, {Control::focus, 2.5}));
  const ShotSpec shot = hidden_shot(hidden, {}, {}).value();
  EXPECT_EQ(shot.brightness.electrons[1], 0.0);
  EXPECT_EQ(shot.instrument.defocus_waves, 0.0);
  EXPECT_GT(shot.brightness.sky_electrons, Brightness{}.sky_electrons);
}

TEST(HiddenShot, OutsideTheFrameThereIsNothing) {
  HiddenRig hidden = rig_at(1.0);
  ASSERT_TRUE(apply(hidden, {Control::altitude, 30.0}));
  const ShotSpec shot = hidden_shot(hidden, {}, {}).value();
  EXPECT_EQ(shot.brightness.electrons[1], 0.0);
}

TEST(HiddenShot, AWrongClockChangesTheTimesOnly) {
  HiddenRig hidden = rig_at(2.0);
  ClipWish wish;
  const ShotSpec right = hidden_shot(hidden, kGiant, wish).value();
  wish.clock_wrong_by = Duration::hours(1.0);
  const ShotSpec wrong = hidden_shot(hidden, kGiant, wish).value();
  EXPECT_NEAR((wrong.timing.start - right.timing.start).hours(), 1.0, 1e-9);
  EXPECT_EQ(wrong.body.central_meridian, right.body.central_meridian);
}

TEST(HiddenShot, TheMoonShowsTheWantedPart) {
  HiddenRig hidden = rig_at(1.0);
  const NightTarget part{sky::Body::moon, {}, 0.0, {0.0, 0.3}};
  const ShotSpec shot = hidden_shot(hidden, part, {}).value();
  // The middle of the disc lies above the frame: towards the zenith, by 0.3 of its radius.
  const PixelOffset up = step_towards(hidden.zenith);
  const double above = shot.body.centre.x.arcsec() * up.x + shot.body.centre.y.arcsec() * up.y;
  EXPECT_NEAR(above, 0.3 * shot.body.equatorial_diameter.arcsec() / 2.0, 60.0);
}

}  // namespace
}  // namespace halfarc
