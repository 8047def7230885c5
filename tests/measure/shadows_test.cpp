#include "halfarc/measure/shadows.h"

#include <gtest/gtest.h>

#include <cmath>

#include "discs.h"
#include "memory_recording.h"

namespace halfarc {
namespace {

constexpr int kWidth = 320, kHeight = 240;

struct DrawnShadow {
  double x, y, diameter, loss, hole;  // hole: diameter of the lighter middle
};

// An evenly lit frame behind a vignette of a tenth, with dust, each pixel with noise of 1 % of its light.
test::MemoryRecording lit(const std::vector<DrawnShadow>& dust, Mosaic mosaic, int frames, std::uint64_t seed) {
  const auto info = test::layout(kWidth, kHeight, mosaic, Sample::f32, 12);
  std::vector<std::vector<double>> one{std::vector<double>(static_cast<std::size_t>(kWidth * kHeight), 2000.0)};
  for (const DrawnShadow& s : dust) {
    test::DrawnDisc d{.x = s.x, .y = s.y, .diameter = s.diameter, .darkening = 0.0, .blur = 1.5, .level = s.loss};
    const auto whole = test::draw(d, kWidth, kHeight, 2);
    d.diameter = s.hole;
    const auto middle = s.hole > 0.0 ? test::draw(d, kWidth, kHeight, 2) : std::vector<double>(whole.size());
    for (std::size_t i = 0; i < whole.size(); ++i) one[0][i] *= 1.0 - whole[i] + middle[i];
  }
  for (int y = 0; y < kHeight; ++y) {
    for (int x = 0; x < kWidth; ++x) {
      const double r2 = std::pow((x - 150.0) / 160.0, 2) + std::pow((y - 130.0) / 160.0, 2);
      one[0][static_cast<std::size_t>(y * kWidth + x)] *= 1.0 - 0.1 * r2;
    }
  }
  test::MemoryRecording recording(info);
  for (int i = 0; i < frames; ++i) {
    Rng rng = Rng(seed).child("frame", static_cast<std::uint64_t>(i));
    recording.add(test::expose(info, one, {0.0, 0.0, 20.0, {0.6, 1.0, 0.8}}, rng));
  }
  return recording;
}

TEST(Shadows, AreMeasuredOnEveryMosaic) {
  for (const Mosaic mosaic : {Mosaic::mono, Mosaic::rggb, Mosaic::rgb}) {
    const auto shadows =
        shadows_on(lit({{80.0, 60.0, 40.0, 0.03, 0.0}, {230.0, 170.0, 24.0, 0.06, 0.0}}, mosaic, 20, 1)).value();
    ASSERT_EQ(shadows.found.size(), 2U) << name(mosaic);
    const Shadow &small = shadows.found[0], &large = shadows.found[1];
    EXPECT_NEAR(small.place.x, 230.0, 1.0);
    EXPECT_NEAR(small.place.y, 170.0, 1.0);
    EXPECT_NEAR(small.diameter.value, 24.0, 0.05 * 24.0 + 2.0 * small.diameter.sigma);
    EXPECT_NEAR(small.loss.value, 0.06, 0.02 * 0.06 + 3.0 * small.loss.sigma);
    EXPECT_NEAR(large.place.x, 80.0, 1.0);
    EXPECT_NEAR(large.diameter.value, 40.0, 0.05 * 40.0 + 2.0 * large.diameter.sigma);
    EXPECT_NEAR(large.loss.value, 0.03, 0.02 * 0.03 + 3.0 * large.loss.sigma);
    EXPECT_LT(large.loss.sigma, 0.002);
  }
}

// Behind a central obstruction a third as wide as the aperture the shadow has a lighter middle of that size.
TEST(Shadows, ALighterMiddleIsPartOfOne) {
  const auto shadows = shadows_on(lit({{160.0, 120.0, 60.0, 0.04, 20.0}}, Mosaic::mono, 20, 2)).value();
  ASSERT_EQ(shadows.found.size(), 1U);
  EXPECT_NEAR(shadows.found[0].place.x, 160.0, 1.0);
  EXPECT_NEAR(shadows.found[0].diameter.value, 60.0, 3.0);
}

TEST(Shadows, NoneAreSeenInNoiseAndVignette) {
  for (std::uint64_t seed = 1; seed <= 10; ++seed) {
    const auto shadows = shadows_on(lit({}, Mosaic::rggb, 10, seed)).value();
    EXPECT_TRUE(shadows.found.empty()) << seed;
    EXPECT_LT(shadows.plain_loss, 0.004);
    EXPECT_GT(shadows.plain_loss, 0.0);
  }
}

TEST(Shadows, ALandscapeIsNotEvenlyLit) {
  std::vector<DrawnShadow> hills;
  Rng rng(4);
  for (int i = 0; i < 60; ++i)
    hills.push_back({kWidth * rng.uniform(), kHeight * rng.uniform(), 20.0 + 40.0 * rng.uniform(), 0.1, 0.0});
  const auto shadows = shadows_on(lit(hills, Mosaic::mono, 5, 1)).value();
  EXPECT_FALSE(shadows.evenly_lit());
  EXPECT_TRUE(shadows.found.empty());
  EXPECT_TRUE(shadows_on(lit({}, Mosaic::mono, 5, 1))->evenly_lit());
}

TEST(Shadows, ErrorsAreHonest) {
  constexpr int kSeeds = 25;
  double loss = 0.0, diameter = 0.0;
  for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
    const auto shadows = shadows_on(lit({{80.0, 60.0, 40.0, 0.02, 0.0}}, Mosaic::mono, 10, seed)).value();
    ASSERT_EQ(shadows.found.size(), 1U) << seed;
    const Shadow& s = shadows.found[0];
    loss += std::pow((s.loss.value - 0.02) / s.loss.sigma, 2) / kSeeds;
    diameter += std::pow((s.diameter.value - 40.0) / s.diameter.sigma, 2) / kSeeds;
  }
  EXPECT_GT(loss, 0.2);
  EXPECT_LT(loss, 1.6);
  EXPECT_GT(diameter, 0.2);
  EXPECT_LT(diameter, 1.6);
}

TEST(Shadows, SaysWhatItCannotRead) {
  EXPECT_FALSE(shadows_on(test::MemoryRecording(test::layout(64, 300, Mosaic::mono, Sample::f32, 12))));
  const auto info = test::layout(kWidth, kHeight, Mosaic::mono, Sample::f32, 12);
  test::MemoryRecording dark(info);
  dark.add(std::vector<std::byte>(info.bytes_per_frame()));
  EXPECT_FALSE(shadows_on(dark));
}

}  // namespace
}  // namespace halfarc
