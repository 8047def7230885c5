#include "halfarc/measure/background.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "../support/memory_recording.h"
#include "halfarc/base/random.h"

namespace halfarc {
namespace {

// A sky of 20 ADU with noise of 2, rising by (right, down) ADU over the frame.
testing::MemoryRecording sky(double right, double down, std::uint64_t seed) {
  RecordingInfo info;
  info.width = 160;
  info.height = 112;
  info.mosaic = Mosaic::rggb;
  Rng rng(seed);
  std::vector<std::byte> samples;
  for (int frame = 0; frame < 20; ++frame) {
    for (int i = 0; i < 160 * 112; ++i) {
      const double x = (i % 160) / 160.0, y = (i / 160) / 112.0;
      samples.push_back(static_cast<std::byte>(std::lround(20.0 + right * x + down * y + 2.0 * rng.normal())));
    }
  }
  return {info, std::move(samples)};
}

TEST(Background, ASlopePointsToWhatLiesOutsideTheFrame) {
  const auto g = background_gradient(sky(-1.0, 0.0, 1));
  ASSERT_TRUE(g);
  ASSERT_TRUE(g->towards);
  EXPECT_NEAR(g->towards->value.deg(), 270.0, 4.0 * g->towards->sigma.deg());
  EXPECT_LT(g->towards->sigma.deg(), 10.0);
  EXPECT_NEAR(g->across.value, 1.0, 4.0 * g->across.sigma);
}

TEST(Background, AnEvenSkyHasNoSide) {
  int told = 0;
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    const auto g = background_gradient(sky(0.0, 0.0, seed));
    ASSERT_TRUE(g);
    told += g->towards ? 1 : 0;
  }
  EXPECT_EQ(told, 0);
}

TEST(Background, DirectionsScatterAsTheyAreSaidTo) {
  double z = 0.0;
  for (std::uint64_t seed = 1; seed <= 30; ++seed) {
    const auto g = background_gradient(sky(0.35, 0.245, seed));  // the same slope per pixel along both: 135 deg
    ASSERT_TRUE(g && g->towards);
    z += std::pow((g->towards->value.deg() - 135.0) / g->towards->sigma.deg(), 2) / 30.0;
  }
  EXPECT_NEAR(z, 1.0, 0.75);
}

// The needs of the practice: the light fell by 12 % in 20 minutes while altitude explains 1 %: look at the corrector.
TEST(Background, FadingIsWhatTheAirDoesNotExplain) {
  std::vector<double> hours, flux, airmass;
  Rng rng(3);
  for (int i = 0; i < 9; ++i) {
    const double share = i / 8.0;
    hours.push_back(share / 3.0);
    airmass.push_back(1.2 + 0.04 * share);
    const double air = std::exp(-0.4 * std::log(10.0) * 0.25 * 0.04 * share);
    flux.push_back(1e6 * air * (1.0 - 0.11 * share) * (1.0 + 0.005 * rng.normal()));
  }
  const auto rate = fading(hours, flux, airmass);
  ASSERT_TRUE(rate);
  EXPECT_NEAR(rate->value, std::log(0.89) * 3.0, 0.05);
  EXPECT_LT(rate->value, -4.0 * rate->sigma);
  for (double& f : flux) f = 1e6;
  for (std::size_t i = 0; i < flux.size(); ++i)
    flux[i] *= std::exp(-0.4 * std::log(10.0) * 0.25 * airmass[i]) * (1.0 + 0.005 * rng.normal());
  EXPECT_LT(std::abs(fading(hours, flux, airmass)->value), 4.0 * fading(hours, flux, airmass)->sigma);
  EXPECT_FALSE(fading(std::vector<double>{0.0, 1.0}, std::vector<double>{1.0, 1.0}, {}));
}

}  // namespace
}  // namespace halfarc
