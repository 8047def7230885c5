#include "halfarc/app/clip_colours.h"

#include <gtest/gtest.h>

#include <cmath>

#include "../measure/simulated_clip.h"
#include "halfarc/measure/kind.h"

namespace halfarc {
namespace {

struct Found {
  ColourShift shift;
  double scale = 0.0;
};

constexpr double kRed = 0.20, kBlue = -0.25;  // arcseconds, downwards: blue is lifted

Found measure(std::uint64_t seed, double electrons, bool over_exposed) {
  ShotSpec shot;
  shot.seed = seed;
  shot.body.kind = BodyKind::ruddy_disc;
  shot.body.equatorial_diameter = Angle::arcsec(9.0);
  shot.body.flattening = 0.006;
  shot.body.surface_seed = seed;
  shot.body.central_meridian = Angle::deg(50.0 * static_cast<double>(seed));
  shot.width = shot.height = 96;
  shot.sensor.electrons_per_adu = 3.0;
  shot.brightness.electrons = {electrons, 1.2 * electrons, 0.7 * electrons};
  shot.dispersion[0] = {Angle::arcsec(0.05), Angle::arcsec(kRed)};
  shot.dispersion[2] = {Angle::arcsec(-0.04), Angle::arcsec(kBlue)};
  shot.air.turbulence.r0 = Length::cm(8.0);
  shot.timing.frames = 100;
  shot.timing.interval = Duration::ms(50.0);
  const auto clip = testing::simulated_clip(shot);
  Silent progress;
  const auto index = index_recording(clip, {}, progress).value();
  const ClipSummary summary = summarise(clip.info(), index);
  const auto frames = sharpest(index, 50);
  const auto mean = aligned_mean(clip, index, frames, size_for(index)).value();
  DiscLook look{summary.diameter, std::nullopt, over_exposed};
  if (!over_exposed)
    look.blur =
        fit_disc(mean.green(), {mean.centroid, summary.diameter, summary.background, summary.level}).value().blur.value;
  const auto shift = clip_colours(clip, index, frames, mean, summary.background, look).value();
  return {shift.value(), shot.scale.arcsec_per_px()};
}

// Within the bar of 0.02" on a normal disc, and within what is claimed on a burnt-out one.
TEST(ClipColours, NormalAndOverExposed) {
  const Found normal = measure(1, 600.0, false);
  EXPECT_NEAR(normal.shift.red_minus_green.y * normal.scale, kRed, 0.03);
  EXPECT_NEAR(normal.shift.blue_minus_green.y * normal.scale, kBlue, 0.03);
  EXPECT_NEAR(normal.shift.red_minus_green.x * normal.scale, 0.05, 0.03);
  const Found bright = measure(1, 20000.0, true);
  EXPECT_NEAR(bright.shift.red_minus_green.y, kRed / bright.scale, 4.0 * bright.shift.red_sigma.y);
  EXPECT_NEAR(bright.shift.blue_minus_green.y, kBlue / bright.scale, 4.0 * bright.shift.blue_sigma.y);
  EXPECT_LT(bright.shift.sigma() * bright.scale, 0.2);
}

// The figures of the report: --gtest_also_run_disabled_tests.
TEST(ClipColours, DISABLED_ScatterOverSeeds) {
  for (const bool over_exposed : {false, true}) {
    double squares = 0.0, z = 0.0;
    constexpr int kSeeds = 12;
    for (std::uint64_t seed = 1; seed <= kSeeds; ++seed) {
      const Found f = measure(seed, over_exposed ? 20000.0 : 600.0, over_exposed);
      for (const auto& [found, truth, sigma] : {std::tuple{f.shift.red_minus_green.x, 0.05, f.shift.red_sigma.x},
                                                {f.shift.red_minus_green.y, kRed, f.shift.red_sigma.y},
                                                {f.shift.blue_minus_green.x, -0.04, f.shift.blue_sigma.x},
                                                {f.shift.blue_minus_green.y, kBlue, f.shift.blue_sigma.y}}) {
        squares += std::pow(found * f.scale - truth, 2) / (4.0 * kSeeds);
        z += std::pow((found - truth / f.scale) / sigma, 2) / (4.0 * kSeeds);
      }
    }
    std::printf("over-exposed %d: rms %.4f\", rms z %.2f\n", over_exposed, std::sqrt(squares), std::sqrt(z));
    EXPECT_LT(std::sqrt(squares), over_exposed ? 0.08 : 0.02);
    EXPECT_LT(std::sqrt(z), 1.4);
  }
}

}  // namespace
}  // namespace halfarc
