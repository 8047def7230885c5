#include "halfarc/restore/stack.h"

#include <gtest/gtest.h>

#include <cmath>

#include "disc_run.h"

namespace halfarc {
namespace {

using testing::DiscRun;
using testing::MadeRun;
using testing::make_disc_run;

// Grades as an index would give them: the true centre with a pixel of error, and a sharpness that follows the blur.
std::vector<GradedFrame> grades(const MadeRun& made) {
  std::vector<GradedFrame> result;
  for (std::size_t f = 0; f < made.centres.size(); ++f) {
    Rng rng = Rng(99).child("grade", f);
    result.push_back(
        {f, made.centres[f] + PixelOffset{rng.normal(), rng.normal()}, 1.0 / made.blurs[f] + 0.05 * rng.normal()});
  }
  return result;
}

Result<Stack> stack_of(const MadeRun& made, const StackOptions& options = {}) {
  Silent silent;
  const Window window = {0, 0, made.recording.info().width, made.recording.info().height};
  return stack_frames(made.recording, grades(made), window, options, silent);
}

// All shifts against the truth, up to one common offset.
double shift_error(const Stack& stack, const MadeRun& made) {
  PixelOffset mean;
  for (const AlignedFrame& f : stack.kept) {
    const PixelOffset e = f.shift - (made.centres[f.number] - PixelPoint{});
    mean = mean + e * (1.0 / static_cast<double>(stack.kept.size()));
  }
  double square = 0.0;
  for (const AlignedFrame& f : stack.kept) {
    const PixelOffset e = f.shift - (made.centres[f.number] - PixelPoint{}) - mean;
    square += 0.5 * (e.x * e.x + e.y * e.y) / static_cast<double>(stack.kept.size());
  }
  return std::sqrt(square);
}

TEST(StackFrames, AlignsToAFewHundredthsOfAPixel) {
  const MadeRun made = make_disc_run({});
  const Result<Stack> stack = stack_of(made);
  ASSERT_TRUE(stack) << stack.error().line();
  EXPECT_LT(shift_error(*stack, made), 0.06);
  EXPECT_EQ(stack->candidates, 200U);
  EXPECT_LT(stack->halves[0].uncovered, 400U);  // only at the borders, which the wander leaves thinly covered
}

TEST(StackFrames, SameBytesForAnyNumberOfThreads) {
  DiscRun run;
  run.frames = 80;
  const MadeRun made = make_disc_run(run);
  StackOptions options;
  options.threads = {1};
  const Result<Stack> one = stack_of(made, options);
  ASSERT_TRUE(one);
  for (const int threads : {2, 7}) {
    options.threads = {threads};
    const Result<Stack> many = stack_of(made, options);
    ASSERT_TRUE(many);
    ASSERT_EQ(one->kept.size(), many->kept.size());
    for (std::size_t h = 0; h < 2; ++h) {
      for (std::size_t c = 0; c < 3; ++c) {
        const auto a = one->halves[h].planes[c].samples();
        const auto b = many->halves[h].planes[c].samples();
        EXPECT_TRUE(std::equal(a.begin(), a.end(), b.begin())) << threads;
      }
    }
  }
}

TEST(StackFrames, HalvesAreDealtByStretchesAndShareNoFrame) {
  const MadeRun made = make_disc_run({});
  const Result<Stack> stack = stack_of(made);
  ASSERT_TRUE(stack);
  int changes = 0;
  int first = 0;
  for (std::size_t i = 0; i < stack->kept.size(); ++i) {
    first += stack->kept[i].half == 0 ? 1 : 0;
    if (i > 0 && stack->kept[i].half != stack->kept[i - 1].half) ++changes;
    if (i > 0) {
      EXPECT_LT(stack->kept[i - 1].number, stack->kept[i].number);
    }
  }
  EXPECT_NEAR(first, static_cast<double>(stack->kept.size()) / 2, 0.2 * static_cast<double>(stack->kept.size()));
  EXPECT_LT(changes, 20);  // 200 frames in stretches of 12
}

TEST(StackFrames, KeepsTheFractionItIsTold) {
  const MadeRun made = make_disc_run({});
  StackOptions options;
  options.kept_fraction = 0.3;
  const Result<Stack> stack = stack_of(made, options);
  ASSERT_TRUE(stack);
  EXPECT_EQ(stack->kept.size(), 60U);
  double kept_blur = 0.0;
  for (const AlignedFrame& f : stack->kept) kept_blur += made.blurs[f.number] / 60.0;
  EXPECT_LT(kept_blur, 1.45);  // the mean of all is 1.6
}

TEST(StackFrames, TooFewFramesIsSaidInOneLine) {
  DiscRun run;
  run.frames = 5;
  const Result<Stack> stack = stack_of(make_disc_run(run));
  ASSERT_FALSE(stack);
  EXPECT_EQ(stack.error().kind, ErrorKind::bad_input);
  EXPECT_EQ(stack.error().line(), "made.run: only 5 frames can be used; a run needs at least 16; record for longer");
}

TEST(StackFrames, StopsWhenAsked) {
  class Stop final : public Progress {
   public:
    void report(std::string_view, std::size_t, std::size_t) override {}
    bool stop_requested() const override { return true; }
  } stop;
  const MadeRun made = make_disc_run({});
  const Result<Stack> stack = stack_frames(made.recording, grades(made), {0, 0, 96, 96}, {}, stop);
  ASSERT_FALSE(stack);
  EXPECT_EQ(stack.error().kind, ErrorKind::cancelled);
}

}  // namespace
}  // namespace halfarc
