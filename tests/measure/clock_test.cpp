#include "halfarc/measure/clock.h"

#include <gtest/gtest.h>

#include <cmath>

#include "halfarc/base/random.h"

namespace halfarc {
namespace {

std::vector<Utc> even(std::size_t frames, double fps, double jitter_s = 0.0) {
  Rng rng(1);
  std::vector<Utc> times;
  for (std::size_t i = 0; i < frames; ++i) {
    times.push_back(Utc::unix_ns(1'796'439'600'000'000'000) +
                    Duration::s(static_cast<double>(i) / fps + jitter_s * rng.normal()));
  }
  return times;
}

TEST(Clock, TrueRateAndJitter) {
  const auto clock = audit_clock(even(600, 87.3, 4e-4));
  ASSERT_TRUE(clock);
  EXPECT_NEAR(clock->frames_per_second.value, 87.3, 4.0 * clock->frames_per_second.sigma);
  EXPECT_LT(clock->frames_per_second.sigma, 0.002);
  EXPECT_NEAR(clock->jitter.ms(), 0.4, 0.05);
  EXPECT_EQ(clock->dropped, 0U);
  EXPECT_NEAR((clock->end - clock->start).s(), 599.0 / 87.3, 2e-3);
}

TEST(Clock, CountsWhatIsMissing) {
  auto times = even(300, 100.0, 2e-4);
  times.erase(times.begin() + 200);
  times.erase(times.begin() + 50, times.begin() + 57);
  const auto clock = audit_clock(times);
  ASSERT_TRUE(clock);
  EXPECT_EQ(clock->dropped, 8U);
  EXPECT_EQ(clock->gaps, 2U);
  EXPECT_NEAR(clock->longest_gap.ms(), 80.0, 2.0);
  EXPECT_NEAR(clock->frames_per_second.value, 100.0, 0.01);
}

TEST(Clock, SaysWhenTimesStandStillOrRunBack) {
  auto times = even(100, 50.0);
  times[30] = times[29];
  times[60] = times[58];
  const auto clock = audit_clock(times);
  ASSERT_TRUE(clock);
  EXPECT_EQ(clock->same_time, 1U);
  EXPECT_EQ(clock->backwards, 1U);
}

TEST(Clock, WithoutUsableTimes) {
  EXPECT_FALSE(audit_clock({}));
  EXPECT_FALSE(audit_clock(even(2, 50.0)));
  EXPECT_FALSE(audit_clock(std::vector<Utc>(40, Utc::unix_ns(7))));
  EXPECT_TRUE(seconds_of_frames({}, 10, std::nullopt).empty());
  EXPECT_NEAR(seconds_of_frames({}, 10, 20.0)[9], 0.45, 1e-12);
}

TEST(Clock, RepeatedPicturesAreSeen) {
  RecordingIndex index;
  index.frames.resize(4);
  for (std::size_t i = 0; i < 4; ++i) index.frames[i].fingerprint = i / 2;
  EXPECT_EQ(repeated_pictures(index), 2U);
}

TEST(Clock, TimesAreHeldAgainstTheFilesOwn) {
  const Utc end = Utc::civil(2026, 11, 25, 21, 0, 10.0).value();
  const auto doubt = [&](double seconds_later) { return doubt_of_times(end, end + Duration::s(seconds_later)); };
  EXPECT_FALSE(doubt(0.0));
  EXPECT_FALSE(doubt(100.0));
  EXPECT_FALSE(doubt(5000.0));  // a copy
  ASSERT_TRUE(doubt(-3600.0 + 20.0));
  EXPECT_EQ(doubt(-3600.0 + 20.0)->whole_hours, 1);  // the clip says an hour more than the file: a time zone
  EXPECT_EQ(doubt(2.0 * 3600.0 - 20.0)->whole_hours, -2);
  ASSERT_TRUE(doubt(-1000.0));
  EXPECT_EQ(doubt(-1000.0)->whole_hours, 0);
  EXPECT_NEAR(doubt(-1000.0)->ahead.s(), 1000.0, 1e-6);
}

}  // namespace
}  // namespace halfarc
