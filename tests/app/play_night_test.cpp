#include "halfarc/app/play_night.h"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <iterator>

#include "halfarc/app/home.h"
#include "halfarc/app/obedient_hand.h"
#include "halfarc/frames/recording.h"
#include "halfarc/optics/zernike.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

std::string bytes_of(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

Result<PlayedNight> play(const NightScript& script, const PlayOptions& options) {
  Silent silent;
  const Rig rig = example_rig();
  HALFARC_TRY(HiddenRig hidden, rig_for(script, rig, example_site().site, options));
  return play_night(script, std::move(hidden), rig, options, silent);
}

PlayOptions tiny(const fs::path& folder) {
  PlayOptions options;
  options.folder = folder;
  options.size = NightSize::tiny;
  return options;
}

// The beginning of a script up to so many recordings.
NightScript until_recording(NightScript script, int recordings) {
  for (std::size_t i = 0; i < script.steps.size(); ++i) {
    if (std::holds_alternative<Record>(script.steps[i].deed) && --recordings == 0) script.steps.resize(i + 1);
  }
  return script;
}

double coma_of_clip(const PlayedClip& clip) {
  return std::hypot(clip.shot.instrument.coma_x_waves, clip.shot.instrument.coma_y_waves);
}

TEST(PlayNight, TheScriptsOwnHandCollimatesInTheEnd) {
  const ScratchFolder folder;
  const Result<PlayedNight> night = play(collimation_only(), tiny(folder / "night"));
  ASSERT_TRUE(night) << night.error().line();
  EXPECT_EQ(night->clips.size(), 6U);
  EXPECT_GT(coma_of_clip(night->clips[3]), coma_of_clip(night->clips[2]));  // an eighth of a turn too far
  EXPECT_LT(coma_of_clip(night->clips.back()), 0.2);
  EXPECT_LT(night->clips[1].shot.plume.rms_waves, night->clips[0].shot.plume.rms_waves);
  for (const PlayedClip& clip : night->clips) {
    EXPECT_TRUE(fs::exists(clip.recording)) << clip.recording;
    EXPECT_EQ(clip.truth.parent_path().filename(), "truth");
    EXPECT_TRUE(fs::exists(clip.truth));
    const auto recording = open_recording(clip.recording);
    ASSERT_TRUE(recording) << recording.error().line();
    EXPECT_EQ((*recording)->info().frames, frames_of(NightSize::tiny, clip.record.purpose));
  }
  EXPECT_TRUE(fs::exists(folder / "night" / "truth" / "telescope.txt"));
}

TEST(PlayNight, TheSameBytesOnAnyNumberOfThreads) {
  const ScratchFolder folder;
  PlayOptions one = tiny(folder / "one");
  one.threads = {1};
  PlayOptions three = tiny(folder / "three");
  three.threads = {3};
  const auto a = play(until_recording(collimation_only(), 1), one);
  const auto b = play(until_recording(collimation_only(), 1), three);
  ASSERT_TRUE(a && b);
  ASSERT_EQ(a->clips.size(), 1U);
  for (std::size_t i = 0; i < a->clips.size(); ++i) {
    EXPECT_EQ(a->clips[i].recording.filename(), b->clips[i].recording.filename());
    EXPECT_EQ(bytes_of(a->clips[i].recording), bytes_of(b->clips[i].recording));
    EXPECT_EQ(bytes_of(a->clips[i].truth), bytes_of(b->clips[i].truth));
  }
}

// A game: the owner turns screws, and every clip answers. This owner tries each screw and knows nothing else but how
// large coma was; the script's own turns are left out.
TEST(PlayNight, AnswersToTheOwnersTurns) {
  const ScratchFolder folder;
  PlayOptions options = tiny(folder / "game");
  std::vector<double> seen;
  options.turns = [&](const PlayedClip& clip) -> Result<std::vector<Turned>> {
    seen.push_back(coma_of_clip(clip));
    if (seen.size() == 1) return std::vector<Turned>{{Control::screw_a, 0.0625}};
    if (seen.size() == 2) return std::vector<Turned>{{Control::screw_a, -0.0625}, {Control::screw_b, 0.0625}};
    return std::vector<Turned>{};
  };
  const Result<PlayedNight> night = play(collimation_only(), options);
  ASSERT_TRUE(night) << night.error().line();
  ASSERT_EQ(seen.size(), 3U);
  EXPECT_NEAR(seen[0], 0.9, 1e-9);
  EXPECT_GT(std::abs(seen[1] - seen[0]), 0.05);
  EXPECT_NE(seen[1], seen[2]);
  ASSERT_EQ(night->clips.size(), 5U);  // two of cooling, three of the game
  EXPECT_NE(night->clips[4].recording.string().find("collimate-before-3"), std::string::npos);
}

// The closed loop through the real chain: clips are checked, the advice is done, and nothing else. Two telescopes here;
// bench/closed_loop plays twenty.
TEST(PlayNight, AnObedientHandCollimatesInFourClips) {
  for (const std::uint64_t seed : {1U, 3U}) {
    const ScratchFolder folder;
    Silent silent;
    PlayOptions options;
    options.folder = folder / "game";
    options.seed = seed;
    options.most_answers = 3;
    const Rig rig = example_rig();
    NightScript script = collimation_only();
    std::erase_if(script.steps, [](const NightStep& step) {
      const auto* record = std::get_if<Record>(&step.deed);
      return record != nullptr && record->purpose == Purpose::cooling;
    });
    Result<HiddenRig> hidden = rig_for(script, rig, example_site().site, options);
    ASSERT_TRUE(hidden);
    options.turns = turns_of({hidden->rig, hidden->train, example_site().site, options.threads});
    const Result<PlayedNight> night = play_night(script, std::move(*hidden), rig, options, silent);
    ASSERT_TRUE(night) << night.error().line();
    ASSERT_LE(night->clips.size(), 4U);
    EXPECT_LE(coma_of_clip(night->clips.back()) / kComaEdgePerRms, 0.05) << seed;  // from 0.9 at the edge: 0.106
  }
}

TEST(PlayNight, AnErrorOfTheSourceEndsTheNightAndKeepsWhatThereIs) {
  const ScratchFolder folder;
  PlayOptions options = tiny(folder / "game");
  options.turns = [](const PlayedClip&) -> Result<std::vector<Turned>> { return failed("the logbook is torn"); };
  const Result<PlayedNight> night = play(collimation_only(), options);
  ASSERT_FALSE(night);
  EXPECT_NE(night.error().line().find("torn"), std::string::npos);
  int recordings = 0;
  for (const auto& entry : fs::directory_iterator(folder / "game")) recordings += entry.is_regular_file() ? 1 : 0;
  EXPECT_EQ(recordings, 3);
}

TEST(PlayNight, AFolderThatCannotBeMadeIsOneLine) {
  const ScratchFolder folder;
  std::ofstream(folder / "taken") << "a file";
  const Result<PlayedNight> night = play(collimation_only(), tiny(folder / "taken"));
  ASSERT_FALSE(night);
  EXPECT_EQ(night.error().line().find('\n'), std::string::npos);
}

}  // namespace
}  // namespace halfarc
