// build/release/bench/closed_loop [SEEDS]
//
// The closed-loop game: telescopes drawn from seeds (20 by default), collimated by a hand that does what the advice of
// each clip says and nothing else, through the real chain: simulated clip, check, advice, turn, next clip. Bar: coma
// within 0.05 wave rms (0.42 wave at the edge of the pupil) after at most 4 clips, in at least 19 of 20 seeds.
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <type_traits>

#include "halfarc/app/home.h"
#include "halfarc/app/obedient_hand.h"
#include "halfarc/optics/zernike.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

constexpr int kClips = 4;

double rms_waves(const PlayedClip& clip) {
  const Instrument& optics = clip.shot.instrument;
  return std::hypot(optics.coma_x_waves, optics.coma_y_waves) / kComaEdgePerRms;
}

Result<PlayedNight> play(const fs::path& folder, std::uint64_t seed) {
  Silent silent;
  PlayOptions options;
  options.folder = folder;
  options.seed = seed;
  options.most_answers = kClips - 1;  // the clip after the last one shows the result
  const Rig rig = example_rig();
  const NightScript script = collimation_only();
  HALFARC_TRY(HiddenRig hidden, rig_for(script, rig, example_site().site, options));
  options.turns = obedient_hand(hidden.rig, hidden.train, options.threads);
  return play_night(script, std::move(hidden), rig, options, silent);
}

int run(int seeds) {
  const fs::path folder = fs::temp_directory_path() / "halfarc-closed-loop";
  int reached = 0;
  fmt::print("seed  coma, waves rms, in clip 1, 2, ...\n");
  for (int seed = 1; seed <= seeds; ++seed) {
    std::error_code error;
    fs::remove_all(folder, error);
    const Result<PlayedNight> night = play(folder, static_cast<std::uint64_t>(seed));
    if (!night) {
      fmt::print("{:4}  {}\n", seed, night.error().line());
      continue;
    }
    fmt::print("{:4}", seed);
    double last = 0.0;
    for (const PlayedClip& clip : night->clips) {
      if (clip.record.purpose != Purpose::collimation) continue;
      last = rms_waves(clip);
      fmt::print("  {:.3f}", last);
    }
    const bool within = last <= 0.05;
    reached += within ? 1 : 0;
    fmt::print("{}\n", within ? "" : "  not reached");
  }
  std::error_code error;
  fs::remove_all(folder, error);
  fmt::print("bench: closed loop, collimation within 0.05 wave rms in {} clips: {} of {} seeds (bar 19 of 20)\n",
             kClips, reached, seeds);
  return 0;
}

}  // namespace
}  // namespace halfarc

int main(int argc, char** argv) { return halfarc::run(argc > 1 ? std::atoi(argv[1]) : 20); }
