#include "halfarc/restore/site_spectra.h"

#include <gtest/gtest.h>

#include <cmath>

#include "disc_run.h"

namespace halfarc {
namespace {

using testing::DiscRun;
using testing::MadeRun;

SiteSums sums_of(const MadeRun& made, const DiscRun& run, std::size_t begin, std::size_t end) {
  const Window window = {0, 0, run.width, run.height};
  SiteSums sums(window);
  std::vector<std::byte> frame(made.recording.info().bytes_per_frame());
  for (std::size_t f = begin; f < end; ++f) {
    EXPECT_TRUE(made.recording.read(f, 1, frame));
    sums.add(site_pair(made.recording.info(), frame, window,
                       made.centres[f] - PixelPoint{centre_of(run.width), centre_of(run.height)}));
  }
  return sums;
}

double ratio_at(const SiteSums::RingPowers& rings, double f) {
  for (std::size_t r = 0; r < rings.frequency.size(); ++r) {
    if (rings.frequency[r] >= f) return rings.coherent[r] / rings.mean[r];
  }
  return 0.0;
}

// Frames that differ only in place and noise lose nothing: the ratio is 1 without any noise bias.
TEST(SiteSums, SteadyFramesAreFullyCoherent) {
  for (const Mosaic m : {Mosaic::rggb, Mosaic::grbg, Mosaic::mono, Mosaic::rgb}) {
    DiscRun run;
    run.mosaic = m;
    run.blur_spread = 0.0;
    run.frames = 60;
    const SiteSums::RingPowers rings = sums_of(make_disc_run(run), run, 0, 60).rings();
    EXPECT_NEAR(ratio_at(rings, 0.03), 1.0, 0.01) << name(m);
    EXPECT_NEAR(ratio_at(rings, 0.08), 1.0, 0.05) << name(m);
  }
}

TEST(SiteSums, UnsteadyFramesAreLessCoherentInFineDetail) {
  DiscRun run;
  run.blur_spread = 3.0;
  run.frames = 80;
  const SiteSums::RingPowers rings = sums_of(make_disc_run(run), run, 0, 80).rings();
  EXPECT_GT(ratio_at(rings, 0.02), 0.97);
  EXPECT_LT(ratio_at(rings, 0.10), 0.90);
}

TEST(SiteSums, AddAndTakeApart) {
  DiscRun run;
  run.frames = 20;
  const MadeRun made = make_disc_run(run);
  SiteSums all = sums_of(made, run, 0, 12);
  const SiteSums rest = sums_of(made, run, 12, 20);
  all += rest;
  const SiteSums::RingPowers whole = sums_of(made, run, 0, 20).rings();
  const SiteSums::RingPowers joined = all.rings();
  EXPECT_EQ(all.frames(), 20U);
  all -= rest;
  const SiteSums::RingPowers first = sums_of(made, run, 0, 12).rings();
  const SiteSums::RingPowers apart = all.rings();
  for (std::size_t r = 1; r < 20; ++r) {
    EXPECT_NEAR(joined.coherent[r] / whole.coherent[r], 1.0, 1e-9);
    EXPECT_NEAR(apart.mean[r] / first.mean[r], 1.0, 1e-9);
  }
}

}  // namespace
}  // namespace halfarc
