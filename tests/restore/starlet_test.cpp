#include "halfarc/restore/starlet.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

Plane<float> noise(int width, int height, std::uint64_t seed) {
  Rng rng(seed);
  Plane<float> p(width, height);
  for (float& v : p.samples()) v = static_cast<float>(rng.normal());
  return p;
}

// [Starck2006] prints 0.889 0.200 0.086 0.041 0.020 0.010 0.005; the exact norms of the filters are these.
TEST(PublishedStarletNoise, PerScale) {
  const double exact[] = {0.890796, 0.200664, 0.085508, 0.041217, 0.020425, 0.010190, 0.005092, 0.002546};
  const double printed[] = {0.889, 0.200, 0.086, 0.041, 0.020, 0.010, 0.005};
  for (int scale = 0; scale < 8; ++scale) EXPECT_NEAR(starlet_noise(scale), exact[scale], 1e-6) << scale;
  for (int scale = 0; scale < 7; ++scale) EXPECT_NEAR(starlet_noise(scale), printed[scale], 0.002) << scale;
}

TEST(Starlet, NoiseOfARandomFieldIsAsPredicted) {
  const Starlet s = starlet(noise(512, 512, 3), 3);
  for (int scale = 0; scale < 3; ++scale) {
    double sum = 0.0;
    for (const float v : s.details[static_cast<std::size_t>(scale)].samples())
      sum += static_cast<double>(v) * static_cast<double>(v);
    const double sigma = std::sqrt(sum / (512.0 * 512.0));
    EXPECT_NEAR(sigma / starlet_noise(scale), 1.0, 0.01 * (1 << scale)) << scale;
  }
}

TEST(Starlet, DetailsAndSmoothAddUpToThePicture) {
  for (const auto& [w, h] : {std::pair{64, 48}, std::pair{33, 57}}) {
    const Plane<float> picture = noise(w, h, 4);
    const Starlet s = starlet(picture, 4);
    ASSERT_EQ(s.details.size(), 4U);
    for (std::size_t i = 0; i < picture.count(); ++i) {
      float sum = s.smooth.samples()[i];
      for (const Plane<float>& d : s.details) sum += d.samples()[i];
      EXPECT_NEAR(sum, picture.samples()[i], 2e-6F);
    }
  }
}

TEST(Starlet, AConstantHasNoDetail) {
  Plane<float> flat(40, 30);
  for (float& v : flat.samples()) v = 7.5F;
  const Starlet s = starlet(flat, 3);
  for (const Plane<float>& d : s.details) {
    for (const float v : d.samples()) EXPECT_NEAR(v, 0.0F, 1e-5F);
  }
}

TEST(NoiseFromFinestDetail, SeesNoiseThroughStructure) {
  Plane<float> picture = noise(256, 256, 5);
  for (int y = 0; y < 256; ++y) {
    for (int x = 0; x < 256; ++x) {
      picture(x, y) = 2.5F * picture(x, y) +
                      200.0F * std::exp(-0.001F * static_cast<float>((x - 128) * (x - 128) + (y - 128) * (y - 128)));
    }
  }
  EXPECT_NEAR(noise_from_finest_detail(picture), 2.5, 0.05);
}

TEST(NoiseFromFinestDetail, LooksOnlyWhereTold) {
  Plane<float> picture = noise(128, 128, 6);
  Plane<std::uint8_t> where(128, 128);
  for (int y = 0; y < 128; ++y) {
    for (int x = 0; x < 128; ++x) {
      if (x < 64) picture(x, y) *= 10.0F;
      where(x, y) = x >= 68 ? 1 : 0;
    }
  }
  EXPECT_NEAR(noise_from_finest_detail(picture, where), 1.0, 0.06);
}

}  // namespace
}  // namespace halfarc
