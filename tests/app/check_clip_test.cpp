#include "halfarc/app/check_clip.h"

#include <gtest/gtest.h>

#include <cmath>

#include "../support/scratch_folder.h"
#include "halfarc/app/simulate_recording.h"

namespace halfarc {
namespace {

struct Sight {
  const char* words;
  ClipKind kind;
  BodyKind body = BodyKind::star;
  double diameter = 0.0;  // arcsec
  double defocus = 0.0;   // waves
  double light = 1.0;     // of a normal exposure
  double seeing = 2.0;    // arcsec
};

ShotSpec shot_of(const Sight& sight, double scale, std::uint64_t seed) {
  ShotSpec shot;
  shot.seed = seed;
  shot.body.kind = sight.body;
  shot.body.surface_seed = seed;
  shot.body.equatorial_diameter = Angle::arcsec(std::max(0.1, sight.diameter));
  shot.scale = PlateScale::arcsec_per_px(scale);
  shot.instrument.defocus_waves = sight.defocus;
  // Long exposures are 0.97586 lambda / r0 wide [Fried1966].
  shot.air.turbulence.r0 = Length::m(0.97586 * kSeeingWavelength.m() / Angle::arcsec(sight.seeing).rad());
  const double across = sight.diameter > 100.0 ? 30.0 : sight.diameter + 24.0;
  shot.width = shot.height = 16 * static_cast<int>(across / scale / 16.0 + 1.0);
  shot.timing.frames = 60;
  shot.timing.interval = Duration::ms(20.0);
  shot.timing.exposure = Duration::ms(8.0);
  shot.sensor.electrons_per_adu = 0.8;
  const double wide = (4.4 * sight.defocus + 1.2 * sight.seeing) / scale;
  const double electrons = sight.light * (sight.body == BodyKind::star ? 150.0 * wide * wide : 900.0);
  shot.brightness.electrons = {electrons, electrons, electrons};
  return shot;
}

// Every kind taken for itself: the table of who is taken for whom has nothing beside its diagonal.
TEST(CheckClip, TakesNoKindForAnother) {
  const Sight sights[] = {
      {"star in focus", ClipKind::star},
      {"star 0.7 waves out", ClipKind::star, BodyKind::star, 0.0, 0.7},
      {"star 1.3 waves out", ClipKind::star, BodyKind::star, 0.0, 1.3},
      {"star 2.5 waves out, good air", ClipKind::star, BodyKind::star, 0.0, 2.5, 1.0, 1.0},
      {"star 5 waves out, poor air", ClipKind::star, BodyKind::star, 0.0, 5.0, 1.0, 3.5},
      {"small disc", ClipKind::planet, BodyKind::blank_disc, 3.7, 0.0, 1.0, 1.5},
      {"ruddy disc", ClipKind::planet, BodyKind::ruddy_disc, 13.6},
      {"ruddy disc, poor air", ClipKind::planet, BodyKind::ruddy_disc, 9.0, 0.0, 1.0, 3.5},
      {"ruddy disc, faint", ClipKind::planet, BodyKind::ruddy_disc, 13.6, 0.0, 0.1},
      {"banded giant out of focus", ClipKind::planet, BodyKind::banded_giant, 43.0, 2.0},
      {"ringed giant", ClipKind::planet, BodyKind::ringed_giant, 18.0},
      {"burnt-out giant", ClipKind::bright, BodyKind::banded_giant, 43.0, 0.0, 12.0},
      {"craters", ClipKind::surface, BodyKind::cratered, 1800.0},
      {"nothing", ClipKind::empty, BodyKind::star, 0.0, 0.0, 0.0},
  };
  const ScratchFolder folder;
  Silent progress;
  std::uint64_t seed = 0;
  for (const Sight& sight : sights) {
    for (const double scale : {0.35, 0.16}) {
      const ShotSpec shot = shot_of(sight, scale, ++seed);
      const auto clip = folder / ("clip-" + std::to_string(seed) + ".fits");
      ASSERT_TRUE(simulate_to_files(shot, clip, {}, progress)) << sight.words;
      CheckOptions options;
      options.scale = shot.scale;
      options.optics = ClipOptics{shot.instrument.pupil, shot.instrument.wavelengths[1], shot.scale};
      const auto check = check_clip(clip, options, progress);
      ASSERT_TRUE(check) << sight.words << ": " << check.error().line();
      EXPECT_EQ(name(check->kind), name(sight.kind)) << sight.words << " at " << scale << "\" a pixel";
    }
  }
}

// The twilight sky fills the frame as a surface does; dust shows on it as it was put there.
TEST(CheckClip, ReadsDustOnTheTwilightSky) {
  ShotSpec shot;
  shot.seed = 3;
  shot.body.kind = BodyKind::star;
  shot.brightness.electrons = {0.0, 0.0, 0.0};
  shot.brightness.sky_electrons = 900.0;
  shot.sensor.electrons_per_adu = 0.5;
  shot.width = 480;
  shot.height = 360;
  shot.blemishes.dust = {{{300.0, 220.0}, 38.0, 0.04}};
  shot.timing.frames = 20;
  const ScratchFolder folder;
  Silent progress;
  ASSERT_TRUE(simulate_to_files(shot, folder / "sky.fits", {}, progress));
  const ClipCheck check = check_clip(folder / "sky.fits", {}, progress).value();
  EXPECT_EQ(check.kind, ClipKind::empty);
  ASSERT_TRUE(check.light.shadows);
  ASSERT_EQ(check.light.shadows->found.size(), 1U);
  const Shadow& dust = check.light.shadows->found[0];
  EXPECT_NEAR(dust.place.x, 300.0, 1.0);
  EXPECT_NEAR(dust.place.y, 220.0, 1.0);
  EXPECT_NEAR(dust.diameter.value, 38.0, 0.05 * 38.0);
  // The offset of the camera counts as light.
  const double lit = 1.0 - shot.sensor.offset_adu / check.summary.background;
  EXPECT_NEAR(dust.loss.value, 0.04 * lit, 4.0 * dust.loss.sigma + 0.02 * 0.04);

  shot.brightness.sky_electrons = 5.0;  // at night, without an object
  ASSERT_TRUE(simulate_to_files(shot, folder / "night.fits", {}, progress));
  const ClipCheck night = check_clip(folder / "night.fits", {}, progress).value();
  EXPECT_EQ(night.kind, ClipKind::empty);
  EXPECT_FALSE(night.light.shadows);
}

}  // namespace
}  // namespace halfarc
