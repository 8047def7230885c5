#include "halfarc/frames/limits.h"

#include <gtest/gtest.h>

#include <limits>

#include "recording_checks.h"

namespace halfarc {
namespace {

TEST(Limits, SizesThatExist) {
  EXPECT_TRUE(check_frame_size(1, 1, Mosaic::mono, Sample::u8, "a"));
  EXPECT_TRUE(check_frame_size(9576, 6388, Mosaic::rggb, Sample::u16, "a"));
}

TEST(Limits, SizesThatDoNot) {
  constexpr std::int64_t huge = std::numeric_limits<std::int32_t>::max();
  expect_refused(check_frame_size(0, 5, Mosaic::mono, Sample::u8, "a.ser"), "a.ser", "0 x 5 pixels, which is no size");
  expect_refused(check_frame_size(5, -1, Mosaic::mono, Sample::u8, "a.ser"), "a.ser", "no size");
  expect_refused(check_frame_size(huge, huge, Mosaic::rgb, Sample::f32, "a.ser"), "a.ser", "no camera has");
  expect_refused(check_frame_size(60'000, 60'000, Mosaic::mono, Sample::u8, "a.ser"), "a.ser", "larger than any");
}

TEST(Limits, Counts) {
  EXPECT_TRUE(check_frame_count(1, "a"));
  expect_refused(check_frame_count(0, "a.ser"), "a.ser", "no frames");
  expect_refused(check_frame_count(1ULL << 40, "a.ser"), "a.ser", "more than any recording");
}

}  // namespace
}  // namespace halfarc
