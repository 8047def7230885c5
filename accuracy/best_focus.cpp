// Best focus from nine clips of five seconds in air that changes from clip to clip.
#include <fmt/format.h>

#include "clips.h"
#include "halfarc/app/find_focus.h"
#include "halfarc/base/random.h"
#include "ladder.h"

namespace halfarc::accuracy {
namespace {

struct Conditions {
  BodyKind body = BodyKind::ruddy_disc;
  double seeing = 2.0;  // arcsec, mean; each clip has its own within 20 %
  int clips = 9;
  double step = 0.25;  // waves
  Stand stand{};
};

Result<std::vector<Trial>> trials(const Conditions& c, std::uint64_t seed, const std::filesystem::path& folder) {
  Silent progress;
  Rng rng = Rng(seed).child("focus");
  const double best = 0.4 * (rng.uniform() - 0.5);
  FocusOptions options;
  options.threads = Threads{1};
  options.rig = example_rig();
  HALFARC_TRY(options.train, solve(options.rig));
  std::vector<FocusAsk> asks;
  for (int i = 0; i < c.clips; ++i) {
    const double seeing = c.seeing * (0.8 + 0.4 * rng.uniform());
    ShotSpec shot =
        clip_of(c.body, Angle::arcsec(seeing), Duration::s(5.0), seed * 100 + static_cast<std::uint64_t>(i));
    shot.body.surface_seed = seed;  // one target
    shot.body.central_meridian = Angle::deg(20.0);
    shot.body.pole_angle = Angle::deg(10.0);
    if (c.body == BodyKind::star) shot.brightness.electrons = {4e4, 5e4, 3e4};
    stand(shot, c.stand);
    const double position = (i - 0.5 * (c.clips - 1)) * c.step;
    shot.instrument.defocus_waves = position - best;
    const std::filesystem::path clip = folder / fmt::format("clip-{}.fits", i);
    HALFARC_CHECK(simulate_to_files(shot, clip, Threads{1}, progress));
    options.scale = shot.scale;
    asks.push_back({clip, position, Approach::unsaid});  // a knob of one wave a turn
  }
  HALFARC_TRY(const FoundFocus found, find_focus(std::move(asks), options, progress));
  if (!found.series.trustworthy()) return std::vector<Trial>{};
  return std::vector<Trial>{{found.series.best.value - best, found.series.best.sigma}};
}

Rung rung(std::string name, Conditions c, Bar bar, bool in_small = false) {
  return {fmt::format("{}, {} clips, {:.1f}\" seeing{}", name, c.clips, c.seeing, words(c.stand)), bar, in_small,
          [c](std::uint64_t seed, const std::filesystem::path& folder) { return trials(c, seed, folder); }};
}

}  // namespace

Ladder best_focus_ladder() {
  constexpr Bar kBar{0.125, 0.95};
  return {"best-focus",
          "Best focus from a series of clips of 5 s",
          "waves",
          "Clips a quarter wave apart through focus. Bar: nine clips in 2\" seeing within an eighth of a wave in 95 of "
          "100 series, squared z-scores within 10 % of one.",
          {
              rung("ruddy disc", {BodyKind::ruddy_disc, 2.0, 9, 0.25}, kBar),
              rung("ruddy disc", {BodyKind::ruddy_disc, 2.0, 7, 0.3}, {}, true),
              rung("ruddy disc", {BodyKind::ruddy_disc, 3.5, 9, 0.25}, {}),
              rung("ruddy disc", {BodyKind::ruddy_disc, 1.5, 9, 0.25, {30.0}}, {}),
              rung("ruddy disc", {BodyKind::ruddy_disc, 2.0, 9, 0.25, {90.0, 0.2}}, {}),
              rung("star", {BodyKind::star, 2.0, 9, 0.25}, kBar),
          },
          20,
          1};
}

}  // namespace halfarc::accuracy
