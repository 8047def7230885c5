#include "halfarc/app/rehearse.h"

#include <gtest/gtest.h>

#include "scratch_folder.h"

namespace halfarc {
namespace {

// The whole small night: a clip that is read, two runs that become images, and images that hold against the truth.
TEST(Rehearse, ASmallNightHoldsAgainstTheTruth) {
  const ScratchFolder folder;
  Silent silent;
  const Result<Rehearsal> night = rehearse({folder / "night", 5, 300, {}}, silent);
  ASSERT_TRUE(night) << night.error().line();
  EXPECT_EQ(night->clip.kind, ClipKind::planet);
  ASSERT_TRUE(night->clip.disc);
  // The ruddy disc of the scenario is 13.8 arcsec wide.
  const double scale = 0.1753;
  EXPECT_NEAR(night->clip.disc->equatorial_diameter.value * scale, 13.8,
              4.0 * night->clip.disc->equatorial_diameter.sigma * scale + 0.2);

  ASSERT_EQ(night->runs.size(), 2U);
  for (const RehearsedRun& run : night->runs) {
    EXPECT_GT(run.against_truth[1].detail_correlation, 0.99) << run.recording;
    EXPECT_LT(run.against_truth[1].half_correlation_period.arcsec(), 0.75) << run.recording;
    for (const std::size_t c : {std::size_t{0}, std::size_t{2}}) {
      const PixelOffset apart = run.against_truth[c].shift - run.against_truth[1].shift;
      EXPECT_LT(apart.length() * scale, 0.05) << run.recording;
    }
    // The claim is modest: what is said to be resolved is right.
    EXPECT_GT(run.made.resolved[1].value.arcsec() + 2.0 * run.made.resolved[1].sigma.arcsec(),
              run.against_truth[1].half_correlation_period.arcsec());
  }
  const std::string words = rehearsal_words(*night);
  EXPECT_NE(words.find("in truth"), std::string::npos);
}

TEST(Rehearse, AnotherSeedIsAnotherNight) {
  const RehearseOptions first{"a", 1, 200, {}};
  const RehearseOptions second{"a", 2, 200, {}};
  EXPECT_NE(night_of_shots(first)[1].seed, night_of_shots(second)[1].seed);
  EXPECT_EQ(night_of_shots(first).size(), 3U);
}

}  // namespace
}  // namespace halfarc
