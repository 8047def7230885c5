#include "halfarc/app/donut.h"

#include <gtest/gtest.h>

#include "../measure/simulated_clip.h"

namespace halfarc {
namespace {

ShotSpec star(double defocus) {
  ShotSpec shot;
  shot.body.kind = BodyKind::star;
  shot.width = shot.height = 112;
  shot.scale = PlateScale::arcsec_per_px(0.35);
  shot.sensor.mosaic = Mosaic::mono;
  shot.sensor.electrons_per_adu = 3.0;
  shot.instrument.defocus_waves = defocus;
  shot.brightness.electrons = {2e5, 2e5, 2e5};
  shot.air.turbulence.r0 = Length::cm(8.0);
  shot.timing.frames = 100;
  shot.timing.interval = Duration::s(0.05);
  return shot;
}

Donut read(const ShotSpec& shot, bool hollow, bool known) {
  const auto clip = testing::simulated_clip(shot);
  Silent progress;
  const auto index = index_recording(clip, {}, progress);
  std::vector<double> seconds;
  for (std::size_t i = 0; i < shot.timing.frames; ++i) seconds.push_back(0.05 * static_cast<double>(i));
  std::optional<ClipOptics> optics;
  if (known) optics = ClipOptics{shot.instrument.pupil, shot.instrument.wavelengths[1], shot.scale};
  return read_donut(clip, *index, seconds, hollow, optics).value();
}

TEST(Donut, ARingHasBothItsEdgesAndItsWaves) {
  const Donut d = read(star(5.0), true, true);
  ASSERT_TRUE(d.shape && d.optics) << d.why_no_optics;
  EXPECT_NEAR(d.optics->defocus.value, 5.0, 0.15);
  // By rays the edge lies 4 W lambda / D from the middle [BornWolf1999]; diffraction keeps its half height within it.
  const double across = 8.0 * 5.0 * Angle::rad(Length::nm(540.0) / Length::mm(203.0)).arcsec() / 0.35;
  EXPECT_NEAR(d.shape->outer_diameter.value, across, 0.12 * across);
}

TEST(Donut, WithoutATelescopeThereAreNoWaves) {
  const Donut d = read(star(5.0), true, false);
  EXPECT_TRUE(d.shape);
  EXPECT_FALSE(d.optics);
  EXPECT_NE(d.why_no_optics.find("rig.toml"), std::string::npos);
}

TEST(Donut, AStarInFocusIsNone) { EXPECT_TRUE(read(star(0.1), false, true).empty()); }

}  // namespace
}  // namespace halfarc
