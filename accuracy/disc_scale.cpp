// The diameter of a disc, which with the ephemeris is the scale of the picture.
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

Result<std::vector<Trial>> trials(const Conditions& c, std::uint64_t seed, const std::filesystem::path& folder) {
  ShotSpec shot = clip_of(c.body, Angle::arcsec(c.seeing), Duration::s(5.0), seed);
  stand(shot, c.stand);
  HALFARC_TRY(const ClipCheck check, simulate_and_check(shot, folder));
  if (!check.disc) return std::vector<Trial>{};
  const double truth = shot.scale.pixels(shot.body.equatorial_diameter);
  const Measured<double>& read = check.disc->equatorial_diameter;
  return std::vector<Trial>{{100.0 * (read.value / truth - 1.0), 100.0 * read.sigma / truth}};
}

// With the target's name the ephemeris tells the shape, and the scale is read.
Rung named(std::string name, sky::Body target, double seeing, double bar) {
  const auto told = [target, seeing](std::uint64_t seed,
                                     const std::filesystem::path& folder) -> Result<std::vector<Trial>> {
    const ShotSpec shot = clip_of_target(target, Angle::arcsec(seeing), Duration::s(5.0), seed);
    HALFARC_TRY(const ClipCheck check, simulate_and_check(shot, folder, target));
    if (!check.geometry.scale) return std::vector<Trial>{};
    const double truth = shot.scale.arcsec_per_px();
    const Measured<double>& read = check.geometry.scale->arcsec_per_px;
    return std::vector<Trial>{{100.0 * (read.value / truth - 1.0), 100.0 * read.sigma / truth}};
  };
  return {fmt::format("{} of its night, name told, {:.1f}\" seeing", name, seeing), {bar}, false, told};
}

Rung rung(std::string name, Conditions c, double bar, bool in_small = false) {
  return {fmt::format("{}, {:.1f}\" seeing{}", name, c.seeing, words(c.stand)),
          {bar},
          in_small,
          [c](std::uint64_t seed, const std::filesystem::path& folder) { return trials(c, seed, folder); }};
}

}  // namespace

Ladder disc_scale_ladder() {
  constexpr double kBar = 0.5;
  return {"disc-scale",
          "Scale from the diameter of a disc",
          "%",
          "Equatorial diameter from a clip of 5 s against the true one; with the target's name told the scale, from "
          "disc or "
          "moons. Bar: 0.5 % on the great banded disc.",
          {
              rung("banded giant", {BodyKind::banded_giant, 1.0}, kBar),
              rung("banded giant", {BodyKind::banded_giant, 2.0}, kBar, true),
              rung("banded giant", {BodyKind::banded_giant, 3.5}, kBar),
              rung("banded giant", {BodyKind::banded_giant, 1.5, {30.0}}, 0.0),
              rung("banded giant", {BodyKind::banded_giant, 2.0, {90.0, 0.2}}, 0.0),
              rung("ruddy disc", {BodyKind::ruddy_disc, 2.0}, 0.0),
              named("Jupiter", sky::Body::jupiter, 1.0, kBar),
              named("Jupiter", sky::Body::jupiter, 2.0, kBar),
              named("Jupiter", sky::Body::jupiter, 3.5, 0.0),
              named("Saturn", sky::Body::saturn, 2.0, 0.0),
              named("Mars", sky::Body::mars, 2.0, 0.0),
          },
          12,
          4};
}

}  // namespace halfarc::accuracy
