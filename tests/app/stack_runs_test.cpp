#include "halfarc/app/stack_runs.h"

#include <gtest/gtest.h>

#include "halfarc/app/simulate_recording.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

ShotSpec small_shot(std::uint64_t seed, int width) {
  ShotSpec shot;
  shot.seed = seed;
  shot.width = width;
  shot.height = 96;
  shot.body.kind = BodyKind::ruddy_disc;
  shot.body.equatorial_diameter = Angle::arcsec(9.0);
  shot.timing.frames = 96;
  shot.timing.start = Utc::civil(2026, 12, 4, 21, 12, 0.0).value();
  return shot;
}

std::filesystem::path record(const ScratchFolder& folder, const ShotSpec& shot, const std::string& name) {
  Silent silent;
  EXPECT_TRUE(simulate_to_files(shot, folder / name, {}, silent));
  return folder / name;
}

TEST(StackRuns, SeveralRunsBecomeOneStackWithItsTimes) {
  const ScratchFolder folder;
  ShotSpec second = small_shot(2, 104);
  second.timing.start = second.timing.start + Duration::s(60.0);
  const auto a = record(folder, small_shot(1, 104), "a.fits");
  const auto b = record(folder, second, "b.fits");
  Silent silent;
  const auto stacked = stack_runs({a, b}, 0.5, {}, silent);
  ASSERT_TRUE(stacked) << stacked.error().line();
  EXPECT_EQ(stacked->frames_read, 192U);
  EXPECT_NEAR(static_cast<double>(stacked->frames_used), 96.0, 4.0);
  ASSERT_TRUE(stacked->span && stacked->reference);
  EXPECT_GT(stacked->span->s(), 60.0);
  ASSERT_EQ(stacked->stack.air.size(), 2U);
  EXPECT_GE(stacked->stack.air.front().groups.size(), 4U);
}

TEST(StackRuns, RefusesNothingAndUnlikeRuns) {
  const ScratchFolder folder;
  Silent silent;
  EXPECT_FALSE(stack_runs({}, 0.0, {}, silent));
  EXPECT_FALSE(stack_runs({folder / "none.fits"}, 0.0, {}, silent));
  const auto a = record(folder, small_shot(1, 104), "a.fits");
  const auto b = record(folder, small_shot(1, 96), "b.fits");
  const auto unlike = stack_runs({a, b}, 0.0, {}, silent);
  ASSERT_FALSE(unlike);
  EXPECT_NE(unlike.error().line().find("b.fits"), std::string::npos);
}

}  // namespace
}  // namespace halfarc
