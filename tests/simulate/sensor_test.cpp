#include "halfarc/simulate/sensor.h"

#include <gtest/gtest.h>

#include <cmath>
#include <set>

namespace halfarc {
namespace {

std::array<Plane<float>, 3> flat(int width, int height, std::array<float, 3> electrons) {
  std::array<Plane<float>, 3> planes;
  for (std::size_t c = 0; c < 3; ++c) {
    planes[c] = Plane<float>(width, height);
    for (float& v : planes[c].samples()) v = electrons[c];
  }
  return planes;
}

Plane<std::uint16_t> shoot(const Sensor& sensor, const std::array<Plane<float>, 3>& light, std::uint64_t seed) {
  Plane<std::uint16_t> samples(light[0].width() * samples_per_pixel(sensor.mosaic), light[0].height());
  ReadOut(sensor).frame({light[0].view(), light[1].view(), light[2].view()}, Rng(seed), samples);
  return samples;
}

TEST(Sensor, EachSiteSeesItsColourInEveryMosaic) {
  // Bright enough and noise-free enough that the colour can be told from one sample.
  const auto light = flat(6, 4, {1000.0F, 4000.0F, 9000.0F});
  for (const Mosaic mosaic : {Mosaic::rggb, Mosaic::grbg, Mosaic::gbrg, Mosaic::bggr}) {
    Sensor sensor{mosaic, 14, 1.0, 0.0, 0.0, 60000.0};
    const auto samples = shoot(sensor, light, 1);
    for (int y = 0; y < 4; ++y) {
      for (int x = 0; x < 6; ++x) {
        const float mean = light[static_cast<std::size_t>(colour_at(mosaic, x, y))](x, y);
        EXPECT_NEAR(samples(x, y), mean, 8.0F * std::sqrt(mean)) << name(mosaic) << " " << x << "," << y;
      }
    }
  }
  Sensor rgb{Mosaic::rgb, 14, 1.0, 0.0, 0.0, 60000.0};
  const auto samples = shoot(rgb, light, 1);
  for (int c = 0; c < 3; ++c) {
    EXPECT_NEAR(samples(3 * 2 + c, 1), light[static_cast<std::size_t>(c)](2, 1), 800.0F);
  }
}

// Photon transfer [Janesick2007]: variance against mean is a line of slope 1 / gain that starts at the read noise.
TEST(Sensor, PhotonTransferGivesBackGainAndReadNoise) {
  Sensor sensor{Mosaic::mono, 12, 2.5, 3.0, 40.0, 14000.0};
  double slope_up = 0.0, slope_down = 0.0, dark_variance = 0.0;
  for (const float electrons : {0.0F, 300.0F, 1000.0F, 2500.0F, 5000.0F, 8000.0F}) {
    const auto light = flat(400, 300, {0.0F, electrons, 0.0F});
    const auto a = shoot(sensor, light, 11);
    const auto b = shoot(sensor, light, 12);
    double mean = 0.0, variance = 0.0;
    const auto n = static_cast<double>(a.count());
    for (std::size_t i = 0; i < a.count(); ++i) {
      const double d = static_cast<double>(a.samples()[i]) - static_cast<double>(b.samples()[i]);
      mean += 0.5 * (a.samples()[i] + b.samples()[i]) / n;
      variance += 0.5 * d * d / n;
    }
    const double quantisation = 1.0 / 12.0;
    if (electrons == 0.0F) {
      dark_variance = variance - quantisation;
      EXPECT_NEAR(mean, 40.0, 0.02);
      continue;
    }
    const double photons = variance - quantisation - dark_variance;
    slope_up += photons * (mean - 40.0);
    slope_down += (mean - 40.0) * (mean - 40.0);
  }
  const double gain = slope_down / slope_up;
  EXPECT_NEAR(gain, 2.5, 0.02);  // 120 000 pixels, five levels: 0.2 % each
  EXPECT_NEAR(std::sqrt(dark_variance) * gain, 3.0, 0.05);
}

// Faint light, which is drawn from tables of samples, has the mean and variance of the chain: electrons and read noise
// over the gain, and 1/12 for the rounding; 5 sigma of 120 000 pixels.
TEST(Sensor, FaintLightHasTheNoiseOfTheChain) {
  const Sensor sensor{Mosaic::mono, 12, 0.8, 1.6, 40.0, 14000.0};
  for (const float electrons : {0.0F, 0.03F, 0.2F, 1.7F, 3.99F, 4.01F, 12.0F}) {
    const auto samples = shoot(sensor, flat(400, 300, {0.0F, electrons, 0.0F}), 21);
    const auto n = static_cast<double>(samples.count());
    double mean = 0.0, variance = 0.0;
    for (const auto v : samples.samples()) mean += v / n;
    for (const auto v : samples.samples()) variance += (v - mean) * (v - mean) / n;
    const double expected = (static_cast<double>(electrons) + 1.6 * 1.6) / (0.8 * 0.8) + 1.0 / 12.0;
    EXPECT_NEAR(mean, 40.0 + static_cast<double>(electrons) / 0.8, 5.0 * std::sqrt(expected / n)) << electrons;
    EXPECT_NEAR(variance, expected, 5.0 * expected * std::sqrt(2.5 / n)) << electrons;
  }
}

// A gain so high that its tables would be too long goes the long way, and agrees.
TEST(Sensor, FaintLightAtAHighGain) {
  const Sensor sensor{Mosaic::mono, 16, 0.02, 1.0, 1000.0, 1000.0};
  const auto samples = shoot(sensor, flat(400, 300, {0.0F, 2.0F, 0.0F}), 22);
  const auto n = static_cast<double>(samples.count());
  double mean = 0.0;
  for (const auto v : samples.samples()) mean += v / n;
  EXPECT_NEAR(mean, 1100.0, 5.0 * std::sqrt(3.0 * 2500.0 / n));
}

TEST(Sensor, SaturatesAtFullScaleAndAtTheFullWell) {
  const auto light = flat(16, 16, {0.0F, 50000.0F, 0.0F});
  const auto by_converter = shoot({Mosaic::mono, 8, 10.0, 1.0, 5.0, 100000.0}, light, 3);
  for (const auto v : by_converter.samples()) EXPECT_EQ(v, 255);
  const auto by_well = shoot({Mosaic::mono, 16, 1.0, 0.0, 100.0, 20000.0}, light, 3);
  for (const auto v : by_well.samples()) EXPECT_EQ(v, 20100);
}

TEST(Sensor, DarkSamplesNeverFallBelowZero) {
  const auto samples = shoot({Mosaic::mono, 10, 1.0, 5.0, 1.0, 1000.0}, flat(64, 64, {}), 4);
  std::set<int> seen(samples.samples().begin(), samples.samples().end());
  EXPECT_EQ(*seen.begin(), 0);
  EXPECT_LT(*seen.rbegin(), 30);
}

TEST(Sensor, AFrameBelongsToItsSeed) {
  const auto light = flat(32, 8, {10.0F, 20.0F, 30.0F});
  const auto a = shoot({}, light, 5);
  const auto b = shoot({}, light, 5);
  const auto c = shoot({}, light, 6);
  EXPECT_TRUE(std::equal(a.samples().begin(), a.samples().end(), b.samples().begin()));
  EXPECT_FALSE(std::equal(a.samples().begin(), a.samples().end(), c.samples().begin()));
}

}  // namespace
}  // namespace halfarc
