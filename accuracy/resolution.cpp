// The resolution that an image claims of itself, against its agreement with the truth.
#include "clips.h"
#include "ladder.h"

namespace halfarc::accuracy {
namespace {

// One trial a colour plane: the period claimed, in per cent too long.
Result<std::vector<Trial>> trials(const ImageConditions& c, std::uint64_t seed, const std::filesystem::path& folder) {
  HALFARC_TRY(const SimulatedImage made, simulate_and_make(c, seed, folder));
  std::vector<Trial> found;
  for (std::size_t plane = 0; plane < 3; ++plane) {
    const Measured<Angle>& claimed = made.image.made.resolved[plane];
    const Angle right = made.compare(plane).half_correlation_period;
    found.push_back({100.0 * (claimed.value / right - 1.0), 100.0 * (claimed.sigma / right)});
  }
  return found;
}

Rung rung(std::string name, ImageConditions c, double bar, bool in_small = false) {
  return {name + ", " + words(c), {bar}, in_small, [c](std::uint64_t seed, const std::filesystem::path& folder) {
            return trials(c, seed, folder);
          }};
}

}  // namespace

Ladder resolution_ladder() {
  constexpr double kBar = 5.0;
  return {"resolution",
          "Resolution claimed against resolution true",
          "%",
          "The period at which an image says its detail ends, against the one where it stops agreeing with the truth "
          "(half correlation); a colour plane a trial. Positive: too modest. Bar: 5 %.",
          {
              rung("ruddy disc", {BodyKind::ruddy_disc, 1.2, 1500}, kBar),
              rung("ruddy disc", {BodyKind::ruddy_disc, 2.0, 1500}, kBar, true),
              rung("ruddy disc", {BodyKind::ruddy_disc, 2.0, 400}, kBar),
              rung("banded giant", {BodyKind::banded_giant, 2.0, 1000}, kBar),
              rung("ruddy disc", {BodyKind::ruddy_disc, 1.5, 1500, {30.0}}, 0.0),
              rung("ruddy disc", {BodyKind::ruddy_disc, 2.0, 1500, {90.0, 0.2}}, 0.0),
          },
          6,
          1};
}

}  // namespace halfarc::accuracy
