#include "halfarc/restore/aligner.h"

#include <gtest/gtest.h>

#include "disc_run.h"

namespace halfarc {
namespace {

using testing::DiscRun;
using testing::MadeRun;

constexpr std::size_t kStretch = 8;

// Both references of a made run, each from every frame of its half.
Aligner aligner_of(const MadeRun& made, const std::vector<GradedFrame>& frames, const Window& window) {
  Silent silent;
  std::vector<HalfReference> references;
  for (std::size_t h = 0; h < 2; ++h) {
    std::vector<GradedFrame> half;
    for (const GradedFrame& f : frames) {
      if (f.number / kStretch % 2 == h) half.push_back(f);
    }
    references.push_back(build_reference(made.recording, half, window, {}, silent).value());
  }
  return {made.recording, window, std::move(references), kStretch, 12.0};
}

TEST(Aligner, BothHalvesPlaceFramesOnOneStack) {
  const MadeRun made = testing::make_disc_run({});
  const Window window{0, 0, made.recording.info().width, made.recording.info().height};
  std::vector<GradedFrame> frames;
  for (std::size_t f = 0; f < made.centres.size(); ++f) frames.push_back({f, made.centres[f], 1.0});
  const Aligner aligner = aligner_of(made, frames, window);
  FrameReader reader(made.recording);
  // Of each half: the mean of what was found less what is true.
  std::array<PixelOffset, 2> mean{};
  std::array<double, 2> count{};
  for (const GradedFrame& f : frames) {
    const auto placed = aligner.place(f, reader);
    ASSERT_TRUE(placed);
    const auto h = static_cast<std::size_t>(placed->half);
    EXPECT_EQ(h, f.number / kStretch % 2);
    mean[h] = mean[h] + (placed->shift - (made.centres[f.number] - PixelPoint{}));
    count[h] += 1.0;
  }
  const PixelOffset apart = mean[0] * (1.0 / count[0]) - mean[1] * (1.0 / count[1]);
  EXPECT_LT(apart.length(), 0.03);
}

TEST(Aligner, BothReferencesLieOnTheStack) {
  const MadeRun made = testing::make_disc_run({});
  const Window window{0, 0, made.recording.info().width, made.recording.info().height};
  std::vector<GradedFrame> frames;
  for (std::size_t f = 0; f < made.centres.size(); ++f) frames.push_back({f, made.centres[f], 1.0});
  const Aligner aligner = aligner_of(made, frames, window);
  const Reference first(aligner.reference(0));
  const Registration found = first.find(spectrum_of(aligner.reference(1)), {}, 4.0);
  EXPECT_LT(found.shift.length(), 0.05);
}

}  // namespace
}  // namespace halfarc
