#include "halfarc/app/rehearse.h"

#include <gtest/gtest.h>

#include "scratch_folder.h"

namespace halfarc {
namespace {

// The whole night with coarse pixels and few frames: every clip is read, three runs become images that hold against
// the truth.
TEST(Rehearse, ATinyNightHoldsAgainstTheTruth) {
  const ScratchFolder folder;
  Silent silent;
  PlayOptions options;
  options.folder = folder / "night";
  options.size = NightSize::tiny;
  options.seed = 1;
  std::size_t lines = 0;
  options.tell = [&](const std::string&) -> Result<void> {
    ++lines;
    return {};
  };
  const Result<Rehearsal> rehearsal = rehearse(whole_night(), options, silent);
  ASSERT_TRUE(rehearsal) << rehearsal.error().line();
  EXPECT_GT(lines, 60U);
  ASSERT_EQ(rehearsal->runs.size(), 3U);
  for (const RehearsedRun& run : rehearsal->runs) {
    // A hundred frames: 0.992, 0.992 and, of craters in low light, 0.925 with this seed.
    const bool moon = run.recording.string().find("moon") != std::string::npos;
    EXPECT_GT(run.against_truth[1].detail_correlation, moon ? 0.9 : 0.98) << run.recording;
    for (const std::size_t c : {std::size_t{0}, std::size_t{2}}) {
      const PixelOffset apart = run.against_truth[c].shift - run.against_truth[1].shift;
      EXPECT_LT(run.made.aperture.scale.angle(apart.length()).arcsec(), 0.15) << run.recording;
    }
  }
  const std::string words = rehearsal_words(*rehearsal);
  EXPECT_NE(words.find("in truth"), std::string::npos);
  EXPECT_NE(words.find("focus, from here"), std::string::npos);
}

}  // namespace
}  // namespace halfarc
