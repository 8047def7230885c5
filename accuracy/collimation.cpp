// Coma from ten seconds of a star out of focus.
#include <fmt/format.h>

#include "clips.h"
#include "halfarc/base/random.h"
#include "ladder.h"

namespace halfarc::accuracy {
namespace {

struct Conditions {
  double defocus = 5.0;  // waves
  double seeing = 2.0;   // arcsec
  Stand stand{};
};

Result<std::vector<Trial>> trials(const Conditions& c, std::uint64_t seed, const std::filesystem::path& folder) {
  ShotSpec shot = clip_of(BodyKind::star, Angle::arcsec(c.seeing), Duration::s(10.0), seed);
  shot.scale = PlateScale::arcsec_per_px(0.3505);  // prime focus, where one collimates
  shot.width = shot.height = 160;                  // five waves spread the star over 22"
  Rng rng = Rng(seed).child("coma");
  shot.instrument.defocus_waves = c.defocus;
  shot.instrument.coma_x_waves = 0.8 * (rng.uniform() - 0.5);
  shot.instrument.coma_y_waves = 0.8 * (rng.uniform() - 0.5);
  const double spread = c.defocus * c.defocus / 25.0;  // of the light: nearer to focus less of it fills a well
  shot.brightness.electrons = {3e5 * spread, 3e5 * spread, 2e5 * spread};
  stand(shot, c.stand);
  HALFARC_TRY(const ClipCheck check, simulate_and_check(shot, folder));
  if (!check.donut || !check.donut->optics) return std::vector<Trial>{};
  const StarRing& read = *check.donut->optics;
  return std::vector<Trial>{{read.coma_x.value - shot.instrument.coma_x_waves, read.coma_x.sigma},
                            {read.coma_y.value - shot.instrument.coma_y_waves, read.coma_y.sigma}};
}

Rung rung(Conditions c, double bar, bool in_small = false) {
  return {fmt::format("{:g} waves out, {:.1f}\" seeing{}", c.defocus, c.seeing, words(c.stand)),
          {bar},
          in_small,
          [c](std::uint64_t seed, const std::filesystem::path& folder) { return trials(c, seed, folder); }};
}

}  // namespace

Ladder collimation_ladder() {
  constexpr double kBar = 0.05;
  return {"collimation",
          "Coma of a star out of focus, 10 s",
          "waves",
          "Coma of up to 0.4 waves at the edge of the pupil, a component a trial. Bar: 0.05 wave rms in 2\" seeing.",
          {
              rung({5.0, 1.0}, kBar),
              rung({5.0, 2.0}, kBar, true),
              rung({2.5, 2.0}, kBar),
              rung({1.3, 2.0}, kBar),
              rung({5.0, 3.5}, 0.0),
              rung({5.0, 1.5, {30.0}}, 0.0),
              rung({5.0, 2.0, {90.0, 0.1}}, 0.0),
          }};
}

}  // namespace halfarc::accuracy
