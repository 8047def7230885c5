#include "halfarc/measure/colour_shift.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

RecordingIndex index_of(Rng rng, double memory) {
  RecordingIndex index;
  double slow = rng.normal();
  for (int i = 0; i < 400; ++i) {
    FrameIndex f;
    f.found = true;
    f.red_minus_green = {0.3 + 0.2 * slow, -0.1 + 0.2 * rng.normal()};
    f.blue_minus_green = {-0.4 + 0.3 * rng.normal(), 0.2};
    index.frames.push_back(f);
    slow = memory * slow + std::sqrt(1.0 - memory * memory) * rng.normal();
  }
  return index;
}

// Errors are those of the scatter over seeds, also where the air moves the colours slowly.
TEST(ColourShift, ErrorsAreHonest) {
  double slow = 0.0, quick = 0.0;
  constexpr int kSeeds = 300;
  for (std::uint64_t seed = 0; seed < kSeeds; ++seed) {
    const auto shift = colour_shift_of_frames(index_of(Rng(seed), 0.7), 0.0);
    ASSERT_TRUE(shift);
    slow += std::pow((shift->red_minus_green.x - 0.3) / shift->red_sigma.x, 2) / kSeeds;
    quick += std::pow((shift->blue_minus_green.x + 0.4) / shift->blue_sigma.x, 2) / kSeeds;
  }
  EXPECT_NEAR(slow, 1.0, 0.3);
  EXPECT_NEAR(quick, 1.0, 0.3);
}

TEST(ColourShift, AnOverExposedDiscIsLessSure) {
  const RecordingIndex index = index_of(Rng(1), 0.5);
  const auto star = colour_shift_of_frames(index, 0.0), disc = colour_shift_of_frames(index, 80.0);
  ASSERT_TRUE(star && disc);
  EXPECT_EQ(star->red_minus_green, disc->red_minus_green);
  EXPECT_GT(disc->sigma(), 0.8);
  EXPECT_LT(star->sigma(), 0.05);
}

TEST(ColourShift, NeedsFrames) {
  RecordingIndex index = index_of(Rng(1), 0.5);
  index.frames.resize(9);
  EXPECT_FALSE(colour_shift_of_frames(index, 0.0));
}

}  // namespace
}  // namespace halfarc
