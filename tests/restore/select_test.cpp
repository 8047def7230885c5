#include "halfarc/restore/select.h"

#include <gtest/gtest.h>

#include "disc_run.h"

namespace halfarc {
namespace {

using testing::DiscRun;
using testing::MadeRun;

// Slices of frames that get ever more blurred; `steepness` pixels from the best to the worst.
std::vector<SiteSums> slices(double steepness, double peak) {
  std::vector<SiteSums> result;
  for (int s = 0; s < 10; ++s) {
    DiscRun run;
    run.frames = 12;
    run.blur = 1.2 + steepness * s / 9.0;
    run.blur_spread = 0.0;
    run.peak = peak;
    run.seed = static_cast<std::uint64_t>(s + 1);
    const MadeRun made = make_disc_run(run);
    const Window window = {0, 0, run.width, run.height};
    SiteSums sums(window);
    std::vector<std::byte> frame(made.recording.info().bytes_per_frame());
    for (std::size_t f = 0; f < run.frames; ++f) {
      EXPECT_TRUE(made.recording.read(f, 1, frame));
      sums.add(site_pair(made.recording.info(), frame, window, made.centres[f] - PixelPoint{47.5, 47.5}));
    }
    result.push_back(std::move(sums));
  }
  return result;
}

TEST(MostInformativeFraction, KeepsAllWhenFramesAreEquallyGood) {
  EXPECT_GE(most_informative_fraction(slices(0.0, 120.0), 120).fraction, 0.9);
}

TEST(MostInformativeFraction, DropsTheBlurredWhenTheyAreMuchWorse) {
  const KeptFraction kept = most_informative_fraction(slices(12.0, 120.0), 40000);
  EXPECT_LE(kept.fraction, 0.5);
  EXPECT_EQ(kept.tried.size(), 10U);
  EXPECT_DOUBLE_EQ(kept.tried.back(), 1.0);
}

TEST(MostInformativeFraction, NoisyRunsKeepMore) {
  const std::vector<SiteSums> good = slices(4.0, 120.0);
  // The same frames, once as a sample of very many and once as a sample of few: few are noisier and keep at least as
  // many.
  EXPECT_LE(most_informative_fraction(good, 100000).fraction, most_informative_fraction(good, 120).fraction);
}

}  // namespace
}  // namespace halfarc
