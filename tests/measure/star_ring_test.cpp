// Accuracy of measure/star_ring on simulated stars: scatter against truth and against the errors it states.
//
// The short tests keep the build honest; the ones of many seeds print the figures that the header states:
//     measure_accuracy_test --gtest_also_run_disabled_tests --gtest_filter='StarRing*'
#include "halfarc/measure/star_ring.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>

#include "halfarc/measure/clock.h"
#include "simulated_clip.h"

namespace halfarc {
namespace {

// r0 whose long exposures are 2" wide at 500 nm: 0.97586 lambda / 2" [Fried1966].
constexpr Length kTwoArcsec = Length::cm(5.032);

ShotSpec star(double defocus, double coma_x, double coma_y, std::uint64_t seed) {
  ShotSpec shot;
  shot.seed = seed;
  shot.body.kind = BodyKind::star;
  shot.width = shot.height = defocus > 3.0 ? 112 : 80;
  shot.scale = PlateScale::arcsec_per_px(0.35);
  shot.sensor.mosaic = Mosaic::mono;
  shot.sensor.electrons_per_adu = 3.0;
  shot.instrument.defocus_waves = defocus;
  shot.instrument.coma_x_waves = coma_x;
  shot.instrument.coma_y_waves = coma_y;
  shot.brightness.electrons = {4e5, 4e5, 4e5};
  shot.air.turbulence.r0 = kTwoArcsec;
  shot.timing.frames = 300;
  shot.timing.interval = Duration::s(10.0 / 300.0);
  shot.timing.exposure = Duration::ms(7.0);
  return shot;
}

Result<StarRing> measure(const ShotSpec& shot) {
  const auto clip = testing::simulated_clip(shot);
  Silent progress;
  HALFARC_TRY(const RecordingIndex index, index_recording(clip, {}, progress));
  ClipOptics optics;
  optics.pupil = shot.instrument.pupil;
  optics.wavelength = shot.instrument.wavelengths[1];
  optics.scale = shot.scale;
  return measure_star_ring(clip, index, seconds_of_frames(clip.info().times, clip.info().frames, std::nullopt), optics,
                           Angle());
}

struct Scatter {
  double coma_rms = 0.0, coma_z = 0.0, coma_bias_x = 0.0, coma_bias_y = 0.0;
  double defocus_rms = 0.0, defocus_z = 0.0, astigmatism_z = 0.0, r0_cm = 0.0, plume = 0.0;
};

Scatter scatter(ShotSpec shot, std::uint64_t seeds) {
  Scatter s;
  const auto n = static_cast<double>(seeds);
  for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
    shot.seed = seed;
    const auto ring = measure(shot);
    EXPECT_TRUE(ring) << (ring ? "" : ring.error().line());
    if (!ring) continue;
    const double x = ring->coma_x.value - shot.instrument.coma_x_waves;
    const double y = ring->coma_y.value - shot.instrument.coma_y_waves;
    const double d = ring->defocus.value - std::abs(shot.instrument.defocus_waves);
    s.coma_rms += (x * x + y * y) / (2.0 * n);
    s.coma_z += (std::pow(x / ring->coma_x.sigma, 2) + std::pow(y / ring->coma_y.sigma, 2)) / (2.0 * n);
    s.coma_bias_x += x / n;
    s.coma_bias_y += y / n;
    s.defocus_rms += d * d / n;
    s.defocus_z += std::pow(d / ring->defocus.sigma, 2) / n;
    s.astigmatism_z += std::pow(ring->astigmatism.value / ring->astigmatism.sigma, 2) / n;
    s.r0_cm += ring->r0.value.cm() / n;
    s.plume += ring->plume->value / n;
  }
  s.coma_rms = std::sqrt(s.coma_rms);
  s.defocus_rms = std::sqrt(s.defocus_rms);
  std::printf(
      "  %d stars %.1f waves out: coma rms %.4f bias %+.4f %+.4f z^2 %.2f; defocus rms %.3f z^2 %.2f; "
      "astigmatism z^2 %.2f; r0 %.2f cm; plume %.3f\n",
      static_cast<int>(seeds), shot.instrument.defocus_waves, s.coma_rms, s.coma_bias_x, s.coma_bias_y, s.coma_z,
      s.defocus_rms, s.defocus_z, s.astigmatism_z, s.r0_cm, s.plume);
  return s;
}

// The bar: 0.05 wave rms from 10 s in 2" seeing.
TEST(StarRing, FarFromFocus) {
  const auto ring = measure(star(5.0, 0.35, -0.2, 7));
  ASSERT_TRUE(ring) << ring.error().line();
  EXPECT_NEAR(ring->coma_x.value, 0.35, 0.05);
  EXPECT_NEAR(ring->coma_y.value, -0.2, 0.05);
  EXPECT_NEAR(ring->coma_x.value, 0.35, 4.0 * ring->coma_x.sigma);
  EXPECT_NEAR(ring->coma_y.value, -0.2, 4.0 * ring->coma_y.sigma);
  EXPECT_NEAR(ring->defocus.value, 5.0, 0.1);
  EXPECT_LT(ring->coma_sigma(), 0.03);
  EXPECT_GT(ring->coma_sigma(), 0.003);
  EXPECT_NEAR(clip_for(*ring, 0.5 * ring->coma_sigma()) / ring->span, 4.0, 1e-9);
}

// The last stage of collimating: a wave or two from focus.
TEST(StarRing, NearFocus) {
  const auto ring = measure(star(1.3, 0.15, -0.1, 8));
  ASSERT_TRUE(ring) << ring.error().line();
  EXPECT_NEAR(ring->coma_x.value, 0.15, 0.05);
  EXPECT_NEAR(ring->coma_y.value, -0.1, 0.05);
  EXPECT_NEAR(ring->defocus.value, 1.3, 0.25);
  EXPECT_GT(ring->defocus.sigma, 0.01);
}

// The other side of focus: the same coma, the same amount of defocus.
TEST(StarRing, InsideFocusShowsTheSameComa) {
  const auto ring = measure(star(-2.5, 0.2, 0.1, 9));
  ASSERT_TRUE(ring) << ring.error().line();
  EXPECT_NEAR(ring->coma_x.value, 0.2, 0.05);
  EXPECT_NEAR(ring->coma_y.value, 0.1, 0.05);
  EXPECT_NEAR(ring->defocus.value, 2.5, 0.15);
}

TEST(StarRing, RefusesWhatItCannotRead) {
  ShotSpec shot = star(3.0, 0.0, 0.0, 1);
  shot.timing.frames = 20;
  EXPECT_FALSE(measure(shot));
}

// Warm air from the tube, against a tube that has settled.
TEST(StarRing, APlumeIsSlowAndUpDown) {
  ShotSpec shot = star(4.0, 0.0, 0.0, 11);
  shot.width = shot.height = 112;
  shot.air.turbulence.r0 = Length::cm(10.0);
  const auto settled = measure(shot);
  shot.plume.rms_waves = 0.15;
  shot.plume.lasting = Duration::s(2.0);
  const auto warm = measure(shot);
  ASSERT_TRUE(settled && warm);
  EXPECT_LT(settled->plume->value, 3.0 * settled->plume->sigma);
  EXPECT_GT(warm->plume->value, 2.0 * warm->plume->sigma);
  EXPECT_GT(warm->plume->value, 2.0 * settled->plume->value);
  EXPECT_NEAR(warm->plume->value, 0.06, 0.05);
}

TEST(StarRing, DISABLED_ScatterFarFromFocus) {
  const Scatter s = scatter(star(5.0, 0.35, -0.2, 0), 60);
  EXPECT_LT(s.coma_rms, 0.02);
  EXPECT_NEAR(s.coma_z, 1.0, 0.4);
}

TEST(StarRing, DISABLED_ScatterNearFocus) {
  const Scatter s = scatter(star(1.3, 0.15, -0.1, 0), 60);
  EXPECT_LT(s.coma_rms, 0.02);
  EXPECT_NEAR(s.coma_z, 1.0, 0.4);
}

TEST(StarRing, DISABLED_ScatterBetween) {
  const Scatter s = scatter(star(2.5, 0.0, 0.0, 0), 60);
  EXPECT_LT(s.coma_rms, 0.02);
  EXPECT_NEAR(s.coma_z, 1.0, 0.4);
}

}  // namespace
}  // namespace halfarc
