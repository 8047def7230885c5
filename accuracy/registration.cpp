// Where frames are found to lie, against the best that their photons allow.
#include <fmt/format.h>

#include <cmath>

#include "clips.h"
#include "halfarc/app/stack_runs.h"
#include "halfarc/base/random.h"
#include "ladder.h"

namespace halfarc::accuracy {
namespace {

struct Conditions {
  BodyKind body = BodyKind::ruddy_disc;
  double light = 1.0;  // of a normal exposure
};

// The Cramer-Rao bound of a frame's shift along x and y, pixels: every sample knows the slope of its own colour where
// it stands, under its own noise. Source: [Robinson2004], for independent normal noise.
PixelOffset least_errors(const ShotSpec& shot, const ShotTruth& truth) {
  const double fixed = std::pow(shot.sensor.read_noise_e, 2) + std::pow(shot.sensor.electrons_per_adu, 2) / 12.0;
  double known_x = 0.0, known_y = 0.0;
  for (int y = 1; y + 1 < shot.height; ++y) {
    for (int x = 1; x + 1 < shot.width; ++x) {
      const auto c = static_cast<std::size_t>(colour_at(shot.sensor.mosaic, x, y));
      const Plane<float>& light = truth.perfect[c];
      const double electrons = shot.brightness.electrons[c];
      const double slope_x = 0.5 * electrons * (light(x + 1, y) - light(x - 1, y));
      const double slope_y = 0.5 * electrons * (light(x, y + 1) - light(x, y - 1));
      const double variance = electrons * light(x, y) + shot.brightness.sky_electrons + fixed;
      known_x += slope_x * slope_x / variance;
      known_y += slope_y * slope_y / variance;
    }
  }
  return {1.0 / std::sqrt(known_x), 1.0 / std::sqrt(known_y)};
}

// The errors of the frames of one half, which share an unknown origin, in units of the bound.
void add_half(int half, const StackedRuns& stacked, const ShotTruth& truth, PixelOffset bound,
              std::vector<Trial>& trials) {
  std::vector<PixelOffset> errors;
  PixelOffset mean;
  for (const AlignedFrame& frame : stacked.stack.kept) {
    if (frame.half != half) continue;
    errors.push_back(frame.shift - truth.frames[frame.number].shift_px());
    mean = mean + errors.back();
  }
  const auto n = static_cast<double>(errors.size());
  const double freedom = std::sqrt(n / (n - 1.0));  // taken by the origin
  for (const PixelOffset& error : errors) {
    trials.push_back({freedom * (error.x - mean.x / n) / bound.x, 1.0});
    trials.push_back({freedom * (error.y - mean.y / n) / bound.y, 1.0});
  }
}

Result<std::vector<Trial>> trials(const Conditions& c, std::uint64_t seed, const std::filesystem::path& folder) {
  Silent progress;
  ShotSpec shot = clip_of(c.body, Angle::arcsec(2.0), Duration::s(4.0), seed);
  shot.air.layers.clear();
  shot.pointing.jitter = Angle::arcsec(0.3);
  for (double& electrons : shot.brightness.electrons) electrons *= c.light;
  HALFARC_TRY(const SimulatedFiles files, simulate_to_files(shot, folder / "run.fits", Threads{1}, progress));
  HALFARC_TRY(const StackedRuns stacked, stack_runs({files.recording}, 1.0, Threads{1}, progress));
  std::vector<Trial> found;
  const PixelOffset bound = least_errors(shot, files.truth);
  for (const int half : {0, 1}) add_half(half, stacked, files.truth, bound, found);
  return found;
}

Rung rung(std::string name, Conditions c, bool in_small = false) {
  constexpr double kBar = 1.5;
  return {fmt::format("{}{}", name, c.light == 1.0 ? "" : fmt::format(", {:g} of the light", c.light)),
          {kBar},
          in_small,
          [c](std::uint64_t seed, const std::filesystem::path& folder) { return trials(c, seed, folder); }};
}

}  // namespace

Ladder registration_ladder() {
  Ladder ladder{
      "registration",
      "Registration of single frames",
      "Cramér-Rao bounds",
      "Still air, so that photons alone set the limit, and a mount that jitters by 0.3\". The unit is the bound of "
      "a frame's shift along one axis, with every sample of the mosaic used. Bar: 1.5.",
      {
          rung("ruddy disc", {BodyKind::ruddy_disc, 1.0}, true),
          rung("ruddy disc", {BodyKind::ruddy_disc, 0.1}),
          rung("banded giant", {BodyKind::banded_giant, 1.0}),
          rung("banded giant", {BodyKind::banded_giant, 0.1}),
      },
      4,
      1};
  ladder.states_errors = false;
  return ladder;
}

}  // namespace halfarc::accuracy
