#include "halfarc/restore/combine.h"

#include <gtest/gtest.h>

#include "disc_run.h"

namespace halfarc {
namespace {

using testing::DiscRun;
using testing::MadeRun;

Stack stack_of(const DiscRun& run) {
  const MadeRun made = make_disc_run(run);
  std::vector<GradedFrame> graded;
  for (std::size_t f = 0; f < made.centres.size(); ++f) graded.push_back({f, made.centres[f], 1.0 / made.blurs[f]});
  Silent silent;
  Result<Stack> stack = stack_frames(made.recording, graded, {0, 0, run.width, run.height}, {}, silent);
  EXPECT_TRUE(stack);
  return std::move(stack).value();
}

double noise_between_halves(const Stack& stack) {
  double sum = 0.0;
  for (int y = 38; y < 58; ++y) {
    for (int x = 38; x < 58; ++x) {
      const double d = static_cast<double>(stack.halves[0].planes[1](x, y) - stack.halves[1].planes[1](x, y));
      sum += d * d;
    }
  }
  return sum;
}

TEST(CombineStacks, TwoRunsAreLessNoisyThanOne) {
  DiscRun run;
  run.frames = 60;
  run.blur_spread = 0.1;
  Stack first = stack_of(run);
  run.seed = 2;
  Stack second = stack_of(run);
  const double alone = noise_between_halves(first);
  std::vector<Stack> both;
  const std::size_t frames = first.kept.size() + second.kept.size();
  both.push_back(std::move(first));
  both.push_back(std::move(second));
  const Result<Stack> total = combine_stacks(std::move(both));
  ASSERT_TRUE(total) << total.error().line();
  EXPECT_EQ(total->kept.size(), frames);
  EXPECT_LT(noise_between_halves(*total), 0.75 * alone);
}

TEST(CombineStacks, RefusesWindowsOfDifferentSize) {
  DiscRun run;
  run.frames = 40;
  std::vector<Stack> both;
  both.push_back(stack_of(run));
  run.width = 80;
  both.push_back(stack_of(run));
  const Result<Stack> total = combine_stacks(std::move(both));
  ASSERT_FALSE(total);
  EXPECT_EQ(total.error().kind, ErrorKind::bad_input);
}

}  // namespace
}  // namespace halfarc
