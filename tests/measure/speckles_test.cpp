#include "halfarc/measure/speckles.h"

#include <gtest/gtest.h>

#include <cmath>

#include "simulated_clip.h"

namespace halfarc {
namespace {

// A point, spread by seeing and defocus, exposed so that it fills half of the range; or a disc.
ShotSpec sight(BodyKind body, double diameter_arcsec, double defocus_waves, double seeing_arcsec, double scale) {
  ShotSpec shot;
  shot.seed = 3;
  shot.body.kind = body;
  shot.body.equatorial_diameter = Angle::arcsec(diameter_arcsec);
  shot.scale = PlateScale::arcsec_per_px(scale);
  shot.instrument.defocus_waves = defocus_waves;
  // Long exposures are 0.97586 lambda / r0 wide [Fried1966].
  shot.air.turbulence.r0 = Length::m(0.97586 * kSeeingWavelength.m() / Angle::arcsec(seeing_arcsec).rad());
  shot.width = shot.height = 16 * static_cast<int>((diameter_arcsec + 24.0) / scale / 16.0 + 1.0);
  shot.timing.frames = 40;
  shot.timing.interval = Duration::ms(20.0);
  shot.timing.exposure = Duration::ms(8.0);
  shot.sensor.electrons_per_adu = 0.8;
  const double across = (4.4 * defocus_waves + 1.2 * seeing_arcsec) / scale;
  const double electrons = body == BodyKind::star ? 200.0 * across * across : 900.0;
  shot.brightness.electrons = {electrons, electrons, electrons};
  return shot;
}

Measured<double> contrast_of(const ShotSpec& shot) {
  const auto clip = testing::simulated_clip(shot);
  Silent progress;
  const RecordingIndex index = index_recording(clip, {}, progress).value();
  const auto mean = aligned_mean(clip, index, sharpest(index, index.found()), size_for(index)).value();
  return speckle_contrast(clip, index, mean, static_cast<double>(index.frames[0].background)).value().value();
}

TEST(Speckles, TellAPointFromADiscInAnyAir) {
  for (const double seeing : {1.0, 3.5}) {
    for (const double waves : {1.3, 5.0}) {
      const auto star = contrast_of(sight(BodyKind::star, 0.0, waves, seeing, 0.35));
      EXPECT_GT(star.value - 2.0 * star.sigma, kPointContrast) << waves << " waves out, " << seeing << "\"";
    }
    for (const double diameter : {2.3, 3.7, 13.6}) {
      const auto disc = contrast_of(sight(BodyKind::ruddy_disc, diameter, 0.0, seeing, 0.35));
      EXPECT_LT(disc.value - 2.0 * disc.sigma, kPointContrast) << diameter << "\" wide, " << seeing << "\"";
    }
  }
}

// Without air a frame differs from the mean by noise alone, and noise is no speckle.
TEST(Speckles, NoiseIsNone) {
  ShotSpec shot = sight(BodyKind::star, 0.0, 2.5, 1.0, 0.35);
  shot.air.layers.clear();
  for (double& electrons : shot.brightness.electrons) electrons *= 0.05;
  const auto contrast = contrast_of(shot);
  EXPECT_LT(contrast.value, 0.05);
  EXPECT_GT(contrast.sigma, 0.0);
}

// What N independent patterns of speckles of equal light leave is 1 / sqrt(N) of the contrast of one [Goodman2007] 3:
// 16 exposures added up against one.
TEST(Speckles, ManyPatternsWashEachOtherOut) {
  ShotSpec shot = sight(BodyKind::star, 0.0, 2.5, 2.0, 0.35);
  shot.air.layers = {{1.0, Speed::m_per_s(30.0), Angle::deg(20.0), Length::m(100.0)}};
  shot.timing.exposure = Duration::ms(1.0);
  shot.timing.interval = Duration::ms(420.0);
  const double one = contrast_of(shot).value;
  shot.timing.exposure = Duration::ms(400.0);  // 25 ms of it apart, the beam has moved by three and a half diameters
  shot.timing.parts = 16;
  EXPECT_NEAR(contrast_of(shot).value * 4.0 / one, 1.0, 0.25);
}

}  // namespace
}  // namespace halfarc
