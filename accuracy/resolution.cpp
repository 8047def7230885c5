// The resolution that an image claims of itself, against its agreement with the truth.
#include <fmt/format.h>

#include "clips.h"
#include "halfarc/app/compare_truth.h"
#include "halfarc/app/make_image.h"
#include "ladder.h"

namespace halfarc::accuracy {
namespace {

struct Conditions {
  BodyKind body = BodyKind::ruddy_disc;
  double seeing = 2.0;  // arcsec
  std::size_t frames = 1500;
};

// One trial a colour plane: the period claimed, in per cent too long.
Result<std::vector<Trial>> trials(const Conditions& c, std::uint64_t seed, const std::filesystem::path& folder) {
  Silent progress;
  ShotSpec shot = clip_of(c.body, Angle::arcsec(c.seeing), Duration::s(12.0), seed);
  shot.timing.interval = Duration::s(12.0 / static_cast<double>(c.frames));
  shot.timing.exposure = shot.timing.interval * 0.9;
  shot.timing.frames = c.frames;
  HALFARC_TRY(const SimulatedFiles files, simulate_to_files(shot, folder / "run.fits", Threads{1}, progress));
  MakeOptions options;
  options.runs = {files.recording};
  options.output = folder / "image.fits";
  options.aperture = {shot.instrument.pupil, shot.scale};
  options.scale_source = ScaleSource::given;
  options.threads = Threads{1};
  HALFARC_TRY(const FinishedImage image, make_image(options, progress));
  std::vector<Trial> found;
  const Window& w = image.window;
  for (std::size_t plane = 0; plane < 3; ++plane) {
    const auto part = [&](const Plane<float>& p) { return p.view().part(w.x, w.y, w.width, w.height); };
    const Angle finest = cut_off(shot.instrument.pupil, shot.instrument.wavelengths[plane]).period();
    const PlaneComparison truth = compare_plane(image.picture.restored[plane], part(files.truth.perfect[plane]),
                                                part(files.truth.scene[plane]), shot.scale, finest);
    const Measured<Angle>& claimed = image.made.resolved[plane];
    const Angle right = truth.half_correlation_period;
    found.push_back({100.0 * (claimed.value / right - 1.0), 100.0 * (claimed.sigma / right)});
  }
  return found;
}

Rung rung(std::string name, Conditions c, double bar, bool in_small = false) {
  return {fmt::format("{}, {} frames, {:.1f}\" seeing", name, c.frames, c.seeing),
          {bar},
          in_small,
          [c](std::uint64_t seed, const std::filesystem::path& folder) { return trials(c, seed, folder); }};
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
          },
          6,
          1};
}

}  // namespace halfarc::accuracy
