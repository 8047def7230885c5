// build/release/bench/closed_loop [collimation|colours|focus|all] [SEEDS] [FIRST]
//
// The closed-loop games: telescopes drawn from seeds (20 by default, from 1 on), set right by a hand that does what the
// advice of each clip says and nothing else, through the real chain: simulated clip, check, advice, turn, next clip.
// Bars, each in at least 19 of 20 seeds:
//   collimation   coma within 0.05 wave rms (0.42 wave at the edge of the pupil) in at most 4 clips
//   colours       levers and roll: blue within 0.05" of red, in at most 3 clips
//   focus         within an eighth of a wave at the edge, by one series of nine clips
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <string>

#include "halfarc/app/home.h"
#include "halfarc/app/obedient_hand.h"
#include "halfarc/optics/zernike.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

struct Game {
  std::string name;
  std::string what;  // of the numbers of its table
  NightScript script;
  Purpose purpose;
  int clips;   // at most
  double bar;  // that the last number must not exceed
  double (*wrong)(const PlayedClip&);
};

double coma_rms_waves(const PlayedClip& clip) {
  const Instrument& optics = clip.shot.instrument;
  return std::hypot(optics.coma_x_waves, optics.coma_y_waves) / kComaEdgePerRms;
}

double blue_from_red_arcsec(const PlayedClip& clip) {
  const auto& shift = clip.shot.dispersion;
  return std::hypot((shift[2].x - shift[0].x).arcsec(), (shift[2].y - shift[0].y).arcsec());
}

double waves_out(const PlayedClip& clip) { return std::abs(clip.defocus_waves); }

std::vector<Game> games() {
  return {{"collimation", "coma, waves rms", collimation_only(), Purpose::collimation, 4, 0.05, coma_rms_waves},
          {"colours", "blue from red, arcsec", colours_only(), Purpose::colours, 3, 0.05, blue_from_red_arcsec},
          {"focus", "defocus, waves at the edge", focus_only(), Purpose::focus_series, 9, 0.125, waves_out}};
}

// Asked after every practice clip; the clip after the last answer shows the result.
Result<std::vector<double>> play(const Game& game, const fs::path& folder, std::uint64_t seed) {
  Silent silent;
  PlayOptions options;
  options.folder = folder;
  options.seed = seed;
  options.most_answers = game.purpose == Purpose::focus_series ? 1 : game.clips - 1;
  const Rig rig = example_rig();
  HALFARC_TRY(HiddenRig hidden, rig_for(game.script, rig, example_site().site, options));
  options.every_clip_asks = true;
  options.turns = turns_of({hidden.rig, hidden.train, example_site().site, options.threads});
  HALFARC_TRY(PlayedNight night, play_night(game.script, std::move(hidden), rig, options, silent));
  std::vector<double> wrong;
  for (const PlayedClip& clip : night.clips) {
    if (clip.record.purpose == game.purpose) wrong.push_back(game.wrong(clip));
  }
  return wrong;
}

bool play_all(const Game& game, int first, int seeds) {
  const fs::path folder = fs::temp_directory_path() / ("halfarc-closed-loop-" + game.name);
  int reached = 0;
  fmt::print("{}\nseed  {}, in clip 1, 2, ...\n", game.name, game.what);
  for (int seed = first; seed < first + seeds; ++seed) {
    std::error_code ignored;
    fs::remove_all(folder, ignored);
    const auto wrong = play(game, folder, static_cast<std::uint64_t>(seed));
    if (!wrong) {
      fmt::print("{:4}  {}\n", seed, wrong.error().line());
      continue;
    }
    fmt::print("{:4}", seed);
    for (const double one : *wrong) fmt::print("  {:.3f}", one);
    const bool within = !wrong->empty() && wrong->back() <= game.bar;
    reached += within ? 1 : 0;
    fmt::print("{}\n", within ? "" : "  not reached");
  }
  std::error_code ignored;
  fs::remove_all(folder, ignored);
  fmt::print("bench: closed loop, {} within {} in {} clips: {} of {} seeds (bar 19 of 20)\n", game.name, game.bar,
             game.clips, reached, seeds);
  return reached >= seeds - (seeds + 19) / 20;
}

}  // namespace
}  // namespace halfarc

int main(int argc, char** argv) {
  const std::string which = argc > 1 ? argv[1] : "all";
  const int seeds = argc > 2 ? std::atoi(argv[2]) : 20, first = argc > 3 ? std::atoi(argv[3]) : 1;
  bool all = true;
  for (const auto& game : halfarc::games()) {
    if (which == "all" || which == game.name) all = halfarc::play_all(game, first, seeds) && all;
  }
  return all ? 0 : 1;
}
