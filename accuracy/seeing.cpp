// Seeing from a clip of a planet, or of a star near focus.
#include <fmt/format.h>

#include "clips.h"
#include "ladder.h"

namespace halfarc::accuracy {
namespace {

struct Conditions {
  BodyKind body = BodyKind::banded_giant;
  double seeing = 2.0;  // arcsec
  Stand stand{};
};

// Frames that follow each other at once, as the reading needs.
Result<std::vector<Trial>> trials(const Conditions& c, std::uint64_t seed, const std::filesystem::path& folder) {
  ShotSpec shot = clip_of(c.body, Angle::arcsec(c.seeing), Duration::s(4.0), seed);
  shot.timing.interval = Duration::ms(10.0);
  shot.timing.frames = 400;
  if (c.body == BodyKind::star) shot.brightness.electrons = {5e4, 5e4, 5e4};
  stand(shot, c.stand);
  HALFARC_TRY(const ClipCheck check, simulate_and_check(shot, folder));
  if (!check.air) return std::vector<Trial>{};
  const Measured<Angle>& read = check.air->seeing.fwhm;
  const double truth = c.seeing * seeing_growth(c.stand);
  return std::vector<Trial>{{100.0 * (read.value.arcsec() / truth - 1.0), 100.0 * read.sigma.arcsec() / truth}};
}

Rung rung(std::string name, Conditions c, double bar, bool in_small = false) {
  return {fmt::format("{}, {:.1f}\" seeing{}", name, c.seeing, words(c.stand)),
          {bar},
          in_small,
          [c](std::uint64_t seed, const std::filesystem::path& folder) { return trials(c, seed, folder); }};
}

}  // namespace

Ladder seeing_ladder() {
  constexpr double kBar = 10.0;
  return {
      "seeing",
      "Seeing from a clip of 4 s",
      "%",
      "Width of a star in a long exposure at 500 nm, along the line of sight, against what was put in. Bar: 10 % from "
      "a planet.",
      {
          rung("banded giant", {BodyKind::banded_giant, 1.0}, kBar),
          rung("banded giant", {BodyKind::banded_giant, 2.0}, kBar),
          rung("ruddy disc", {BodyKind::ruddy_disc, 1.0}, kBar),
          rung("ruddy disc", {BodyKind::ruddy_disc, 2.0}, kBar, true),
          rung("ruddy disc", {BodyKind::ruddy_disc, 3.5}, 0.0),
          rung("banded giant", {BodyKind::banded_giant, 1.5, {30.0}}, 0.0),
          rung("ruddy disc", {BodyKind::ruddy_disc, 2.0, {90.0, 0.2}}, 0.0),
          rung("star", {BodyKind::star, 2.0}, 0.0),
      }};
}

}  // namespace halfarc::accuracy
