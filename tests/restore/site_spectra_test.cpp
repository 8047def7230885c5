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

TEST(SiteSums, AddUp) {
  DiscRun run;
  run.frames = 20;
  const MadeRun made = make_disc_run(run);
  SiteSums all = sums_of(made, run, 0, 12);
  all += sums_of(made, run, 12, 20);
  const SiteSums::RingPowers whole = sums_of(made, run, 0, 20).rings();
  const SiteSums::RingPowers joined = all.rings();
  EXPECT_EQ(all.frames(), 20U);
  for (std::size_t r = 1; r < 20; ++r) EXPECT_NEAR(joined.coherent[r] / whole.coherent[r], 1.0, 1e-9);
}

TEST(SiteSums, GroupsThatTakeTurnsAreComparedWithAllButTheirNeighbours) {
  // Six groups of one frame each: of 30 ordered pairs of frames, 12 are of groups next to each other.
  DiscRun run;
  run.frames = 6;
  run.blur_spread = 3.0;
  const MadeRun made = make_disc_run(run);
  std::vector<SiteSums> groups;
  for (std::size_t g = 0; g < 6; ++g) groups.push_back(sums_of(made, run, g, g + 1));
  const SiteSums::RingPowers apart = sum_of_turns(groups).rings();
  // The same by hand: the coherent power of two frames is their product; far pairs are (0, 2), (0, 3), (0, 4), ...
  std::vector<double> by_hand(apart.coherent.size());
  double pairs = 0.0;
  for (std::size_t a = 0; a < 6; ++a) {
    for (std::size_t b = a + 2; b < 6; ++b) {
      if (a == 0 && b == 5) continue;
      SiteSums two = groups[a];
      two += groups[b];
      const SiteSums::RingPowers rings = two.rings();
      for (std::size_t r = 0; r < by_hand.size(); ++r) by_hand[r] += rings.coherent[r];
      pairs += 1.0;
    }
  }
  EXPECT_EQ(pairs, 9.0);
  for (std::size_t r = 1; r < 20; ++r) EXPECT_NEAR(apart.coherent[r] * pairs / by_hand[r], 1.0, 1e-6);
}

TEST(SiteSums, AGroupCanBeLeftOut) {
  DiscRun run;
  run.frames = 5;
  const MadeRun made = make_disc_run(run);
  std::vector<SiteSums> groups;
  for (std::size_t g = 0; g < 5; ++g) groups.push_back(sums_of(made, run, g, g + 1));
  EXPECT_EQ(sum_of_turns(groups, 2).frames(), 4U);
  EXPECT_EQ(sum_of_turns(groups).frames(), 5U);
}

TEST(SitePair, AFieldThatIsTheSameEverywhereIsAShift) {
  const DiscRun run;
  const MadeRun made = make_disc_run(run);
  const Window window{0, 0, run.width, run.height};
  std::vector<std::byte> frame(made.recording.info().bytes_per_frame());
  ASSERT_TRUE(made.recording.read(0, 1, frame));
  ShiftField field{16, Plane<float>(7, 7), Plane<float>(7, 7)};
  for (float& v : field.x.samples()) v = 0.8F;
  const SitePair straight = site_pair(made.recording.info(), frame, window, {0.2, -0.4}, field);
  const SitePair whole = site_pair(made.recording.info(), frame, window, {1.0, -0.4});
  for (int kx = 1; kx < 5; ++kx) {
    const auto ratio = straight.first.values(kx, 0) / whole.first.values(kx, 0);
    EXPECT_NEAR(static_cast<double>(ratio.real()), 1.0, 0.02) << kx;
    EXPECT_NEAR(static_cast<double>(ratio.imag()), 0.0, 0.02) << kx;
  }
}

}  // namespace
}  // namespace halfarc
