#include "halfarc/measure/motion.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

struct Walk {
  RecordingIndex index;
  std::vector<double> times;
};

// A drift with wander that keeps `memory` of itself from frame to frame, rms 1 pixel each way.
Walk wander(std::size_t frames, double fps, PixelOffset drift, double memory, Rng rng) {
  Walk w;
  double x = rng.normal(), y = rng.normal();
  const double fresh = std::sqrt(1.0 - memory * memory);
  for (std::size_t i = 0; i < frames; ++i) {
    const double t = static_cast<double>(i) / fps;
    FrameIndex f;
    f.found = true;
    f.centroid = PixelPoint{100.0, 80.0} + drift * t + PixelOffset{x, y};
    w.index.frames.push_back(f);
    w.times.push_back(t);
    x = memory * x + fresh * rng.normal();
    y = memory * y + fresh * rng.normal();
  }
  return w;
}

// Frames that hang together over ten of their kind: counting frames would make the errors four times too small.
TEST(Motion, ErrorsRespectCorrelatedMotion) {
  double drift = 0.0, rms = 0.0, naive = 0.0;
  constexpr int kSeeds = 300;
  for (std::uint64_t seed = 0; seed < kSeeds; ++seed) {
    const Walk w = wander(1200, 120.0, {0.4, -0.1}, 0.8, Rng(seed));
    const auto m = motion_of(w.index, w.times);
    ASSERT_TRUE(m);
    drift += std::pow((m->drift_x.value - 0.4) / m->drift_x.sigma, 2) / kSeeds;
    rms += std::pow((m->rms_y.value - 1.0) / m->rms_y.sigma, 2) / kSeeds;
    const double counted = m->rms_x.value * std::sqrt(12.0 / 1200.0) / 10.0;
    naive += std::pow((m->drift_x.value - 0.4) / counted, 2) / kSeeds;
  }
  EXPECT_NEAR(drift, 1.0, 0.3);
  EXPECT_NEAR(rms, 1.0, 0.3);
  EXPECT_GT(naive, 5.0);
}

TEST(Motion, FindsAStepAndLeavesItOut) {
  Walk w = wander(600, 60.0, {0.1, 0.0}, 0.5, Rng(4));
  for (std::size_t i = 350; i < 600; ++i) w.index.frames[i].centroid.x += 14.0;
  const auto m = motion_of(w.index, w.times);
  ASSERT_TRUE(m);
  ASSERT_EQ(m->steps.size(), 1U);
  EXPECT_NEAR(static_cast<double>(m->steps[0].frame), 350.0, 3.0);
  EXPECT_NEAR(m->steps[0].by.x, 14.0, 1.0);
  EXPECT_NEAR(m->drift_x.value, 0.1, 5.0 * m->drift_x.sigma);
  EXPECT_LT(m->rms_x.value, 1.3);
  EXPECT_TRUE(motion_of(wander(600, 60.0, {0.5, 0.0}, 0.9, Rng(5)).index, w.times)->steps.empty());
}

TEST(Motion, NeedsFramesAndTime) {
  Walk w = wander(9, 60.0, {}, 0.0, Rng(1));
  EXPECT_FALSE(motion_of(w.index, w.times));
  w = wander(50, 60.0, {}, 0.0, Rng(1));
  EXPECT_FALSE(motion_of(w.index, std::vector<double>(50, 3.0)));
  EXPECT_FALSE(motion_of(w.index, {}));
}

}  // namespace
}  // namespace halfarc
