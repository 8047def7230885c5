// Measure/exposure_spectra on simulated clips: what no air and what noise leave of it.
#include "halfarc/measure/exposure_spectra.h"

#include <gtest/gtest.h>

#include "simulated_clip.h"

namespace halfarc {
namespace {

ShotSpec shaken_star(double electrons) {
  ShotSpec shot;
  shot.body.kind = BodyKind::star;
  shot.width = shot.height = 80;
  shot.sensor.mosaic = Mosaic::mono;
  shot.sensor.electrons_per_adu = 16.0;
  shot.brightness.electrons = {electrons, electrons, electrons};
  shot.air.layers.clear();
  shot.pointing.jitter = Angle::arcsec(0.3);
  shot.timing.frames = 96;
  return shot;
}

Result<ExposureSpectra> spectra_of(const ShotSpec& shot) {
  const auto clip = testing::simulated_clip(shot);
  Silent progress;
  HALFARC_TRY(const RecordingIndex index, index_recording(clip, {}, progress));
  const ClipOptics optics{shot.instrument.pupil, shot.instrument.wavelengths[1], shot.scale};
  return exposure_spectra(clip, index, optics, Subject::point, {});
}

TEST(ExposureSpectra, StillAirLosesNothingWhateverTheMountDoes) {
  const auto spectra = spectra_of(shaken_star(2e5));
  ASSERT_TRUE(spectra) << spectra.error().line();
  EXPECT_EQ(spectra->frames, 96U);
  const RingPowers p = spectra->all();
  for (std::size_t r = 0; r < kSpectrumRings; ++r) {
    if (!spectra->seen[r]) continue;
    EXPECT_NEAR(p.coherent[r] / p.single[r], 1.0, 0.02) << r;
  }
}

// The light of a point has the power of the telescope's contrast, squared; noise must not add to it.
TEST(ExposureSpectra, NoiseAddsNoPower) {
  const auto bright = spectra_of(shaken_star(2e5)), faint = spectra_of(shaken_star(2e4));
  ASSERT_TRUE(bright && faint);
  const RingPowers b = bright->all(), f = faint->all();
  for (std::size_t r = 0; r < 10; ++r) EXPECT_NEAR(100.0 * f.single[r] / b.single[r], 1.0, 0.1) << r;
}

TEST(ExposureSpectra, FinenessThatPixelsDoNotSampleIsLeftOut) {
  ShotSpec coarse = shaken_star(2e5);
  coarse.scale = PlateScale::arcsec_per_px(0.35);
  const auto spectra = spectra_of(coarse);
  ASSERT_TRUE(spectra);
  EXPECT_TRUE(spectra->seen.front());
  EXPECT_FALSE(spectra->seen.back());
}

}  // namespace
}  // namespace halfarc
