#include "halfarc/measure/band_power.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

// White noise alone: what is seen is what is expected of noise, whether boxes lie on every row or on every third.
TEST(BandPower, NoiseIsTakenForNoise) {
  for (const int tall : {90, 240}) {
    double seen = 0.0, noise = 0.0;
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
      Rng rng = Rng(seed).child("quads");
      std::vector<float> quads(static_cast<std::size_t>(120 * tall)), scratch;
      for (float& q : quads) q = static_cast<float>(100.0 + 5.0 * rng.normal());
      const BandPower power = band_power(quads, 120, tall, band_kernels(fastest_kernels()), scratch);
      seen += static_cast<double>(power.seen);
      noise += static_cast<double>(power.noise);
    }
    EXPECT_NEAR(seen / noise, 112.0 / 120.0, 0.04) << tall;  // four columns on either side have no boxes
  }
}

// A wave of 12 quads along x: box means and comparison by hand. The mean of three samples of a wave is its value times
// (1 + 2 cos k) / 3, and the comparison with the boxes three to each side is times (1 - cos 3k) / 2.
TEST(BandPower, AWaveByHand) {
  const int wide = 240, tall = 60;
  const double k = 2.0 * 3.14159265358979323846 / 12.0;
  std::vector<float> quads(static_cast<std::size_t>(wide * tall)), scratch;
  for (int y = 0; y < tall; ++y) {
    for (int x = 0; x < wide; ++x)
      quads[static_cast<std::size_t>(y * wide + x)] = static_cast<float>(10.0 * std::sin(k * x));
  }
  const BandPower power = band_power(quads, wide, tall, band_kernels(KernelKind::plain), scratch);
  const double amplitude = 10.0 * (1.0 + 2.0 * std::cos(k)) / 3.0 * (1.0 - std::cos(3.0 * k)) / 2.0;
  EXPECT_NEAR(power.seen, 0.5 * amplitude * amplitude * (wide - 8) * tall, 0.02 * power.seen);
  EXPECT_NEAR(power.noise, 0.0, 1e-3);  // nothing along the diagonal
}

TEST(BandPower, NoRoomNoPower) {
  std::vector<float> quads(64, 1.0F), scratch;
  const BandPower power = band_power(quads, 8, 8, band_kernels(KernelKind::plain), scratch);
  EXPECT_EQ(power.seen, 0.0F);
  EXPECT_EQ(power.noise, 0.0F);
}

}  // namespace
}  // namespace halfarc
