#include "halfarc/app/doctor_judgement.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

const DataRate kRate{{640, 480}, 150.0, 640.0 * 480.0 * 150.0};  // 46 MB/s

DiskSpeed disk(double write, double slowest) {
  DiskSpeed speed;
  speed.write_bytes_per_s = {write, 2e6};
  speed.slowest_write_bytes_per_s = slowest;
  speed.tried_bytes = 1e8;
  return speed;
}

TEST(DoctorJudgement, ADiskIsGoodWhereItsSlowestPieceKeepsUp) {
  EXPECT_EQ(judge_disk(disk(300e6, 120e6), kRate, "/night").health, Health::good);
  const Finding slow = judge_disk(disk(300e6, 20e6), kRate, "/night");
  EXPECT_EQ(slow.health, Health::caution);
  EXPECT_FALSE(slow.to_do.empty());
  EXPECT_EQ(judge_disk(disk(40e6, 20e6), kRate, "/night").health, Health::fault);
  EXPECT_EQ(judge_disk(disk(44e6, 20e6), kRate, "/night").health, Health::caution);  // within two standard errors
}

TEST(DoctorJudgement, AFolderInMemoryIsNoDisk) {
  DiskSpeed memory = disk(3e9, 2e9);
  memory.is_memory = true;
  EXPECT_EQ(judge_disk(memory, kRate, "/run").health, Health::caution);
}

TEST(DoctorJudgement, RoomIsTwelveRunsOfThreeMinutes) {
  const double evening = kRate.bytes_per_s * 60.0 * 36.0;
  EXPECT_EQ(judge_room(1.1 * evening, kRate, "/night").health, Health::good);
  EXPECT_EQ(judge_room(0.9 * evening, kRate, "/night").health, Health::caution);
}

TEST(DoctorJudgement, TheClockIsWhatTheSystemSaysAndNeverBehindAFile) {
  const Utc now = Utc::civil(2027, 2, 14, 20, 0, 0.0).value();
  KernelClock held{true, Duration::ms(40.0), Duration::ms(2.0)};
  EXPECT_EQ(judge_clock(held, now, now - Duration::hours(1.0)).health, Health::good);
  held.most_error = Duration::s(3.0);
  EXPECT_EQ(judge_clock(held, now, std::nullopt).health, Health::caution);
  EXPECT_EQ(judge_clock(KernelClock{}, now, std::nullopt).health, Health::unknown);
  EXPECT_EQ(judge_clock(std::nullopt, now, std::nullopt).health, Health::unknown);
  const Finding back = judge_clock(held, now, now + Duration::hours(1.0));
  EXPECT_EQ(back.health, Health::fault);
  ASSERT_EQ(back.numbers.size(), 1U);
  EXPECT_NEAR(back.numbers[0].value, 3600.0, 1e-6);
}

TEST(DoctorJudgement, LittleMemoryIsACaution) {
  EXPECT_EQ(judge_memory(MemorySize{8e9, 4e9}).health, Health::good);
  EXPECT_EQ(judge_memory(MemorySize{8e9, 5e8}).health, Health::caution);
  EXPECT_EQ(judge_memory(std::nullopt).health, Health::unknown);
}

TEST(DoctorJudgement, TheWorstCountsUnknownAsGood) {
  EXPECT_EQ(worst({}), Health::good);
  EXPECT_EQ(worst({judge_memory(std::nullopt)}), Health::good);
  EXPECT_EQ(worst({judge_memory(std::nullopt), judge_memory(MemorySize{8e9, 5e8})}), Health::caution);
}

// 5 ms (common practice) unless told: a camera that could be faster gives 200 frames a second.
TEST(DoctorJudgement, APlannedRateIsFramesTimesTheirBytes) {
  const DataRate told = planned_rate(Detector{}, {640, 480}, 100.0);
  EXPECT_EQ(told.frames_per_s, 100.0);
  EXPECT_NEAR(told.bytes_per_s, 100.0 * frame_bytes(Detector{}, {640, 480}), 1e-6);
  const DataRate usual = planned_rate(Detector{}, {640, 480}, std::nullopt);
  EXPECT_GT(usual.frames_per_s, 0.0);
  EXPECT_LE(usual.frames_per_s, 200.0);
}

}  // namespace
}  // namespace halfarc
