// Accuracy of measure/photon_transfer on simulated clips of a planet in moving air.
//     measure_accuracy_test --gtest_also_run_disabled_tests --gtest_filter='PhotonTransfer*'
#include "halfarc/measure/photon_transfer.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>

#include "simulated_clip.h"

namespace halfarc {
namespace {

ShotSpec clip_of(double electrons_per_adu, int bits, std::uint64_t seed) {
  ShotSpec shot;
  shot.seed = seed;
  shot.body.kind = BodyKind::ruddy_disc;
  shot.body.equatorial_diameter = Angle::arcsec(14.0);
  shot.width = shot.height = 128;
  shot.brightness.electrons = {900.0, 620.0, 260.0};
  shot.air.turbulence.r0 = Length::cm(5.0);
  shot.sensor.bits = bits;
  shot.sensor.electrons_per_adu = electrons_per_adu;
  shot.sensor.read_noise_e = 1.6;
  shot.brightness.sky_electrons = 0.0;
  shot.timing.frames = 80;
  return shot;
}

void scatter(double electrons_per_adu, int bits, std::uint64_t seeds, double worst) {
  double gain = 0.0, gain_z = 0.0, read = 0.0, read_z = 0.0;
  const auto n = static_cast<double>(seeds);
  for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
    const auto t = photon_transfer(testing::simulated_clip(clip_of(electrons_per_adu, bits, seed)));
    ASSERT_TRUE(t) << t.error().line();
    ASSERT_TRUE(t->read_noise_known);
    gain += (t->electrons_per_adu.value / electrons_per_adu - 1.0) / n;
    gain_z += std::pow((t->electrons_per_adu.value - electrons_per_adu) / t->electrons_per_adu.sigma, 2) / n;
    read += (t->read_noise_e.value / 1.6 - 1.0) / n;
    read_z += std::pow((t->read_noise_e.value - 1.6) / t->read_noise_e.sigma, 2) / n;
  }
  std::printf("  %.2f e/ADU, %d bit: gain %+.3f z^2 %.2f, read noise %+.3f z^2 %.2f\n", electrons_per_adu, bits, gain,
              gain_z, read, read_z);
  EXPECT_LT(std::abs(gain), worst);
  EXPECT_LT(gain_z, 2.0);
  EXPECT_LT(std::abs(read), 0.2);  // the planet's glow is on the whole of so small a frame
  EXPECT_LT(read_z, 3.0);
}

TEST(PhotonTransfer, TellsTheCameraFromAPlanetInMovingAir) { scatter(0.5, 12, 2, 0.03); }

TEST(PhotonTransfer, SaysWhenRoundingHidesTheReadNoise) {
  ShotSpec shot = clip_of(8.0, 8, 1);
  const auto t = photon_transfer(testing::simulated_clip(shot));
  ASSERT_TRUE(t) << t.error().line();
  EXPECT_FALSE(t->read_noise_known);
  EXPECT_NEAR(t->electrons_per_adu.value, 8.0, 4.0 * t->electrons_per_adu.sigma);
}

TEST(PhotonTransfer, SaysWhenThereIsTooLittleRange) {
  ShotSpec shot = clip_of(0.5, 12, 1);
  shot.brightness.electrons = {0.0, 0.0, 0.0};
  EXPECT_FALSE(photon_transfer(testing::simulated_clip(shot)));
}

TEST(PhotonTransfer, RefusesMixedColours) {
  ShotSpec shot = clip_of(0.5, 12, 1);
  shot.sensor.mosaic = Mosaic::rgb;
  EXPECT_FALSE(photon_transfer(testing::simulated_clip(shot)));
}

TEST(PhotonTransfer, DISABLED_Scatter) {
  scatter(0.5, 12, 20, 0.01);
  scatter(1.0, 12, 20, 0.01);
  scatter(3.0, 10, 20, 0.02);
}

}  // namespace
}  // namespace halfarc
