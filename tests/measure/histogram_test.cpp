#include "halfarc/measure/histogram.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "../support/memory_recording.h"
#include "halfarc/base/random.h"

namespace halfarc {
namespace {

// A ramp of brightness with noise of 2 steps, put through `curve` on its way to the disk.
testing::MemoryRecording ramp(const std::function<double(double)>& curve, int bits = 8) {
  RecordingInfo info;
  info.width = info.height = 128;
  info.sample = Sample::u8;
  info.bits = bits;
  Rng rng(5);
  std::vector<std::byte> samples;
  for (int frame = 0; frame < 8; ++frame) {
    for (int i = 0; i < 128 * 128; ++i) {
      const double light = std::round(20.0 + 80.0 * (i % 128) / 127.0 + 2.0 * rng.normal());
      samples.push_back(static_cast<std::byte>(std::clamp(std::floor(curve(light)), 0.0, 255.0)));
    }
  }
  return {info, std::move(samples)};
}

TEST(Histogram, OfStepsAsTheSensorMadeThem) {
  const auto h = histogram(ramp([](double v) { return v; }));
  ASSERT_TRUE(h);
  EXPECT_FALSE(h->stretched());
  EXPECT_FALSE(h->squeezed());
  EXPECT_NEAR(h->colours[1].high, 101.0, 3.0);
  EXPECT_NEAR(h->bits(), std::log2(95.0), 0.2);
  EXPECT_DOUBLE_EQ(h->colours[1].at_top, 0.0);
}

TEST(Histogram, AStretchLeavesGaps) {
  const auto h = histogram(ramp([](double v) { return 1.4 * v; }));
  ASSERT_TRUE(h);
  EXPECT_TRUE(h->stretched());
  EXPECT_NEAR(h->colours[1].missing, 1.0 - 1.0 / 1.4, 0.05);
}

TEST(Histogram, ASqueezeDoublesSteps) {
  const auto h = histogram(ramp([](double v) { return 0.8 * v; }));
  ASSERT_TRUE(h);
  EXPECT_TRUE(h->squeezed());
}

TEST(Histogram, CountsWhatIsClippedAtEitherEnd) {
  const auto h = histogram(ramp([](double v) { return 5.0 * (v - 40.0); }));
  ASSERT_TRUE(h);
  EXPECT_GT(h->colours[1].at_top, 0.1);
  EXPECT_GT(h->colours[1].at_zero, 0.1);
}

}  // namespace
}  // namespace halfarc
