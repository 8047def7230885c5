// How far red and blue lie from green, from clips of five seconds.
#include <fmt/format.h>

#include "clips.h"
#include "halfarc/base/random.h"
#include "ladder.h"

namespace halfarc::accuracy {
namespace {

struct Conditions {
  BodyKind body = BodyKind::banded_giant;
  double seeing = 2.0;  // arcsec
  Stand stand{};
};

SkyOffset any_offset(Rng& rng) {
  return {Angle::arcsec(1.6 * (rng.uniform() - 0.5)), Angle::arcsec(1.6 * (rng.uniform() - 0.5))};
}

Result<std::vector<Trial>> trials(const Conditions& c, std::uint64_t seed, const std::filesystem::path& folder) {
  ShotSpec shot = clip_of(c.body, Angle::arcsec(c.seeing), Duration::s(5.0), seed);
  Rng rng = Rng(seed).child("dispersion");
  shot.dispersion = {any_offset(rng), SkyOffset{}, any_offset(rng)};
  if (c.body == BodyKind::star) shot.brightness.electrons = {4e4, 5e4, 3e4};
  stand(shot, c.stand);
  HALFARC_TRY(const ClipCheck check, simulate_and_check(shot, folder));
  if (!check.colours) return std::vector<Trial>{};
  const auto arcsec = [&](double pixels) { return shot.scale.angle(pixels).arcsec(); };
  const ColourShift& read = *check.colours;
  return std::vector<Trial>{
      {arcsec(read.red_minus_green.x) - shot.dispersion[0].x.arcsec(), arcsec(read.red_sigma.x)},
      {arcsec(read.red_minus_green.y) - shot.dispersion[0].y.arcsec(), arcsec(read.red_sigma.y)},
      {arcsec(read.blue_minus_green.x) - shot.dispersion[2].x.arcsec(), arcsec(read.blue_sigma.x)},
      {arcsec(read.blue_minus_green.y) - shot.dispersion[2].y.arcsec(), arcsec(read.blue_sigma.y)},
  };
}

Rung rung(std::string name, Conditions c, double bar, bool in_small = false) {
  return {fmt::format("{}, {:.1f}\" seeing{}", name, c.seeing, words(c.stand)),
          {bar},
          in_small,
          [c](std::uint64_t seed, const std::filesystem::path& folder) { return trials(c, seed, folder); }};
}

}  // namespace

Ladder colour_offset_ladder() {
  constexpr double kBar = 0.02;
  const auto over_exposed = 12.0;
  return {"colour-offset",
          "Colour offset (dispersion) from a clip of 5 s",
          "arcsec",
          "Red and blue moved up to 0.8\" each way against green; each component is one trial. Bar: 0.02\" rms at the "
          "light of a normal exposure.",
          {
              rung("banded giant", {BodyKind::banded_giant, 1.0}, kBar),
              rung("banded giant", {BodyKind::banded_giant, 2.0}, kBar),
              rung("banded giant", {BodyKind::banded_giant, 3.5}, 0.0),
              rung("banded giant", {BodyKind::banded_giant, 2.0, {90.0, 0.2}}, 0.0),
              rung("banded giant", {BodyKind::banded_giant, 1.5, {30.0}}, 0.0),
              rung("ruddy disc", {BodyKind::ruddy_disc, 1.0}, kBar),
              rung("ruddy disc", {BodyKind::ruddy_disc, 2.0}, kBar, true),
              rung("ruddy disc", {BodyKind::ruddy_disc, 3.5}, 0.0),
              rung("ruddy disc", {BodyKind::ruddy_disc, 1.5, {30.0}}, 0.0),
              rung("ruddy disc, over-exposed", {BodyKind::ruddy_disc, 2.0, {90.0, over_exposed}}, 0.0),
              rung("star", {BodyKind::star, 2.0}, kBar, true),
          }};
}

}  // namespace halfarc::accuracy
