#include "halfarc/frames/frame_times.h"

#include <gtest/gtest.h>

#include <limits>

namespace halfarc {
namespace {

RecordingInfo with_times(const std::vector<double>& seconds) {
  RecordingInfo info;
  for (const double s : seconds) info.times.push_back(Utc::unix_s(1.8e9 + s));
  info.frames = info.times.size();
  examine_times(info);
  return info;
}

// Source: the days between the epochs, 719 162 (Rata Die of 1970-01-01 less 1; Calendrical Calculations, from memory).
TEST(FrameTimes, TicksCountFromTheYearOne) {
  EXPECT_EQ(utc_from_ticks(719'162LL * 86'400 * 10'000'000), Utc{});
  EXPECT_EQ(utc_from_ticks(719'162LL * 86'400 * 10'000'000 + 15)->unix_ns(), 1500);
  EXPECT_FALSE(utc_from_ticks(0));
  EXPECT_FALSE(utc_from_ticks(std::numeric_limits<std::int64_t>::min()));
  EXPECT_FALSE(utc_from_ticks(std::numeric_limits<std::int64_t>::max()));
}

TEST(FrameTimes, PlausibleIsOurAge) {
  EXPECT_FALSE(is_plausible(Utc{}));
  EXPECT_FALSE(is_plausible(*Utc::parse("1989-12-31T23:59:59Z")));
  EXPECT_TRUE(is_plausible(*Utc::parse("1990-01-01")));
  EXPECT_TRUE(is_plausible(*Utc::parse("2199-12-31")));
  EXPECT_FALSE(is_plausible(*Utc::parse("2200-01-01")));
}

TEST(FrameTimes, GoodOnesStayWithoutANote) {
  const RecordingInfo info = with_times({0.0, 0.01, 0.02});
  EXPECT_EQ(info.times.size(), 3U);
  EXPECT_TRUE(info.notes.empty());
  EXPECT_TRUE(with_times({}).notes.empty());
  EXPECT_EQ(with_times({5.0}).times.size(), 1U);
}

TEST(FrameTimes, DatesOfAnotherAgeAreDropped) {
  const RecordingInfo info = with_times({0.0, -1.8e9, 0.02});
  EXPECT_TRUE(info.times.empty());
  ASSERT_EQ(info.notes.size(), 1U);
  EXPECT_NE(info.notes.front().find("1 of 3"), std::string::npos);
}

TEST(FrameTimes, AllEqualAreDropped) {
  const RecordingInfo info = with_times({1.0, 1.0, 1.0});
  EXPECT_TRUE(info.times.empty());
  EXPECT_NE(info.notes.at(0).find("same time"), std::string::npos);
}

TEST(FrameTimes, BackwardsAndRepeatedAreKeptAndSaid) {
  const RecordingInfo info = with_times({0.0, 0.02, 0.01, 0.03, 0.03});
  EXPECT_EQ(info.times.size(), 5U);
  ASSERT_EQ(info.notes.size(), 2U);
  EXPECT_NE(info.notes[0].find("backwards 1 times, first at frame 2"), std::string::npos) << info.notes[0];
  EXPECT_NE(info.notes[1].find("1 frames"), std::string::npos) << info.notes[1];
}

}  // namespace
}  // namespace halfarc
