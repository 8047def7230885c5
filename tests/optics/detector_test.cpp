#include "halfarc/optics/detector.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

TEST(Detector, VolumeOfARecording) {
  Detector eight;
  eight.bits = 8;
  EXPECT_NEAR(gigabytes_per_minute(eight, {640, 480}, 150.0) * 1.5, 4.147, 1e-3);
  EXPECT_NEAR(gigabytes_per_minute(Detector{}, {640, 480}, 150.0) * 1.5, 8.294, 1e-3);
  EXPECT_EQ(full_scale_adu(Detector{}), 4095.0);
  EXPECT_EQ(frame_bytes(eight, {640, 480}), 307200.0);
}

TEST(Detector, SlowestOfThreeSetsTheRate) {
  Detector d;
  d.bytes_per_s = 360e6;
  d.most_frames_per_s = 500.0;
  const FrameRate exposure = frame_rate(d, {640, 480}, Duration::ms(10.0));
  EXPECT_EQ(exposure.limit, RateLimit::exposure);
  EXPECT_NEAR(exposure.per_s, 100.0, 1e-9);
  const FrameRate link = frame_rate(d, {1920, 1080}, Duration::ms(1.0));
  EXPECT_EQ(link.limit, RateLimit::link);
  EXPECT_NEAR(link.per_s, 360e6 / (1920.0 * 1080.0 * 2.0), 1e-9);
  const FrameRate sensor = frame_rate(d, {320, 240}, Duration::ms(0.1));
  EXPECT_EQ(sensor.limit, RateLimit::sensor);
  EXPECT_EQ(sensor.per_s, 500.0);
}

}  // namespace
}  // namespace halfarc
