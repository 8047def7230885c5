#include "halfarc/restore/frame_work.h"

#include <gtest/gtest.h>

#include <atomic>
#include <vector>

#include "disc_run.h"

namespace halfarc {
namespace {

TEST(ForEachIndex, DoesEachOnce) {
  Silent silent;
  std::vector<std::atomic<int>> done(500);
  const auto outcome = for_each_index(done.size(), Threads{4}, silent, "count", [&](std::size_t i) -> Result<void> {
    ++done[i];
    return {};
  });
  EXPECT_TRUE(outcome);
  for (const auto& times : done) EXPECT_EQ(times.load(), 1);
}

TEST(ForEachIndex, TellsAnErrorAndStartsNoMore) {
  Silent silent;
  std::size_t after = 0;
  const auto outcome = for_each_index(100, Threads{1}, silent, "count", [&](std::size_t i) -> Result<void> {
    if (i == 10) return failed("the tenth", "here", "look");
    after += i > 10 ? 1 : 0;
    return {};
  });
  ASSERT_FALSE(outcome);
  EXPECT_EQ(outcome.error().what, "the tenth");
  EXPECT_EQ(after, 0U);
}

TEST(FrameReader, ReadsTheFramesOfTheRecording) {
  testing::DiscRun run;
  run.frames = 3;
  const testing::MadeRun made = testing::make_disc_run(run);
  FrameReader reader(made.recording);
  const auto first = reader.read(0);
  ASSERT_TRUE(first);
  EXPECT_EQ(first->size(), made.recording.info().bytes_per_frame());
  const std::vector<std::byte> kept(first->begin(), first->end());
  const auto last = reader.read(2);
  ASSERT_TRUE(last);
  EXPECT_FALSE(std::equal(kept.begin(), kept.end(), last->begin()));
}

}  // namespace
}  // namespace halfarc
