#include "halfarc/measure/spots.h"

#include <gtest/gtest.h>

#include <cmath>

#include "discs.h"
#include "memory_recording.h"

namespace halfarc {
namespace {

constexpr int kWidth = 200, kHeight = 160;
constexpr double kBlur = 2.0;

struct DrawnSpot {
  PixelOffset at;  // from the disc's centre
  double light = 0.0;
};

struct Clip {
  test::MemoryRecording recording;
  RecordingIndex index;
  std::vector<std::size_t> all;
};

// A disc that wanders, with points beside it that the air moves by itself: 0.3 pixels from frame to frame.
Clip disc_and(const std::vector<DrawnSpot>& spots, int frames, std::uint64_t seed) {
  const auto info = test::layout(kWidth, kHeight, Mosaic::mono, Sample::f32, 12);
  Clip clip{test::MemoryRecording(info), {}, {}};
  for (int i = 0; i < frames; ++i) {
    Rng rng = Rng(seed).child("frame", static_cast<std::uint64_t>(i));
    test::DrawnDisc d;
    d.diameter = 40.0;
    d.level = 1000.0;
    d.x = 100.0 + 2.0 * rng.normal();
    d.y = 80.0 + 2.0 * rng.normal();
    std::vector<std::vector<double>> one{test::draw(d, kWidth, kHeight, 2)};
    for (const DrawnSpot& s : spots) {
      const double sx = d.x + s.at.x + 0.3 * rng.normal(), sy = d.y + s.at.y + 0.3 * rng.normal();
      for (int y = 0; y < kHeight; ++y)
        for (int x = 0; x < kWidth; ++x) {
          const double r2 = (x - sx) * (x - sx) + (y - sy) * (y - sy);
          one[0][static_cast<std::size_t>(y * kWidth + x)] += s.light * std::exp(-0.5 * r2 / (kBlur * kBlur));
        }
    }
    clip.recording.add(test::expose(info, one, {50.0, 0.0, 5.0, {1.0, 1.0, 1.0}}, rng));
    FrameIndex f;
    f.found = true;
    f.centroid = {d.x, d.y};
    f.area = 1250.0F;
    clip.index.frames.push_back(f);
    clip.all.push_back(static_cast<std::size_t>(i));
  }
  return clip;
}

std::vector<Spot> found(const Clip& clip) {
  return spots_beside(clip.recording, clip.index, clip.all, {{100.0, 80.0}, 30.0, kBlur}).value();
}

TEST(Spots, AreFoundBrightestFirst) {
  const std::vector<DrawnSpot> drawn{{{60.3, -12.4}, 60.0}, {{-70.6, 20.2}, 30.0}};
  const auto spots = found(disc_and(drawn, 50, 1));
  ASSERT_EQ(spots.size(), 2U);
  EXPECT_GT(spots[0].light, spots[1].light);
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_NEAR(spots[i].at.x, drawn[i].at.x, 0.1 * kBlur);
    EXPECT_NEAR(spots[i].at.y, drawn[i].at.y, 0.1 * kBlur);
  }
}

TEST(Spots, NoneAreSeenInNoiseOrOnTheDisc) {
  for (std::uint64_t seed = 1; seed <= 5; ++seed) {
    EXPECT_TRUE(found(disc_and({}, 20, seed)).empty()) << seed;
    EXPECT_TRUE(found(disc_and({{{12.0, 3.0}, 200.0}}, 20, seed)).empty()) << seed;
  }
}

// Student's with four degrees of freedom: the mean square over its variance is 1.
TEST(Spots, ErrorsAreHonest) {
  constexpr int kSeeds = 20;
  double z2 = 0.0;
  for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
    const auto spots = found(disc_and({{{60.3, -12.4}, 60.0}}, 20, seed));
    ASSERT_EQ(spots.size(), 1U) << seed;
    z2 += std::pow((spots[0].at.x - 60.3) / spots[0].sigma.x, 2) / (2.0 * kSeeds);
    z2 += std::pow((spots[0].at.y + 12.4) / spots[0].sigma.y, 2) / (2.0 * kSeeds);
  }
  EXPECT_LT(z2, 1.8);
  EXPECT_GT(z2, 0.4);
}

TEST(Spots, TooFewFramesTellNothing) { EXPECT_TRUE(found(disc_and({{{60.0, 0.0}, 60.0}}, 9, 1)).empty()); }

}  // namespace
}  // namespace halfarc
