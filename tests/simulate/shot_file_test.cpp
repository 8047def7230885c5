#include "halfarc/simulate/shot_file.h"

#include <gtest/gtest.h>

#include <filesystem>

namespace halfarc {
namespace {

std::string complaint(std::string_view toml) {
  const auto shot = parse_shot(toml, "night.toml");
  return shot ? "accepted" : shot.error().line();
}

TEST(ShotFile, NothingWrittenIsOurScenario) {
  const auto shot = parse_shot("", "empty");
  ASSERT_TRUE(shot) << shot.error().line();
  EXPECT_NEAR(shot->instrument.pupil.diameter.mm(), 203.0, 1e-9);
  EXPECT_NEAR(shot->instrument.pupil.obstruction, 0.34, 1e-12);
  // 3.45 um before 203 mm f/10 doubled: 206265 * 3.45e-6 / 4.06 m.
  EXPECT_NEAR(shot->scale.arcsec_per_px(), 0.17527, 1e-4);
  EXPECT_EQ(shot->sensor.mosaic, Mosaic::rggb);
  EXPECT_EQ(shot->sensor.bits, 12);
}

TEST(ShotFile, EveryValueIsRead) {
  const auto shot = parse_shot(R"(
name = "test"
seed = 42
[telescope]
diameter_mm = 279
obstruction = 0.36
focal_length_mm = 2800
amplifier = 1.5
defocus_waves = -0.3
coma_waves = [0.1, -0.2]
[camera]
pixel_um = 2.9
width = 320
height = 200
bits = 8
pattern = "gbrg"
electrons_per_adu = 3.5
read_noise_e = 0.8
offset_adu = 7
full_well_e = 9000
wavelengths_nm = [610, 530, 470]
[body]
kind = "ringed giant"
diameter_arcsec = 18.5
flattening = 0.098
pole_angle_deg = -7
latitude_deg = 21
longitude_deg = 123
phase_angle_deg = 5.5
sun_angle_deg = 265
centre_arcsec = [1.5, -2.5]
surface_seed = 9
[light]
electrons = [100, 200, 50]
sky_electrons = 0
[air]
r0_cm = 6.5
outer_scale_m = 40
[[air.layer]]
weight = 0.7
wind_m_per_s = 3
direction_deg = 10
height_m = 50
[[air.layer]]
weight = 0.3
[dispersion]
red_arcsec = [0.0, 0.3]
blue_arcsec = [0.0, -0.36]
blue_smear_arcsec = [0.01, -0.09]
[pointing]
drift_arcsec_per_s = [0.03, -0.02]
jitter_arcsec = 0.04
[timing]
start = "2026-12-05T22:10:00.5Z"
frames = 250
frames_per_s = 120
exposure_ms = 6
parts = 3
)",
                               "full");
  ASSERT_TRUE(shot) << shot.error().line();
  EXPECT_EQ(shot->seed, 42U);
  EXPECT_NEAR(shot->scale.arcsec_per_px(), 206264.806 * 2.9e-6 / 4.2, 1e-6);
  EXPECT_DOUBLE_EQ(shot->instrument.coma_y_waves, -0.2);
  EXPECT_EQ(shot->sensor.mosaic, Mosaic::gbrg);
  EXPECT_NEAR(shot->instrument.wavelengths[2].nm(), 470.0, 1e-9);
  EXPECT_EQ(shot->body.kind, BodyKind::ringed_giant);
  EXPECT_NEAR(shot->body.sun_angle.deg(), 265.0, 1e-9);
  ASSERT_EQ(shot->air.layers.size(), 2U);
  EXPECT_NEAR(shot->air.layers[0].height.m(), 50.0, 1e-12);
  EXPECT_NEAR(shot->air.layers[1].wind.m_per_s(), 8.0, 1e-12);  // what a layer has when nothing is said
  EXPECT_NEAR(shot->dispersion[2].y.arcsec(), -0.36, 1e-12);
  EXPECT_NEAR(shot->instrument.smear[2].y.arcsec(), -0.09, 1e-12);
  EXPECT_NEAR(shot->pointing.drift_per_second.x.arcsec(), 0.03, 1e-12);
  EXPECT_EQ(shot->timing.start.iso(1), "2026-12-05T22:10:00.5Z");
  EXPECT_NEAR(shot->timing.interval.ms(), 1000.0 / 120.0, 1e-12);
  EXPECT_EQ(shot->timing.parts, 3);

  // Written out and read again it is the same shot.
  const std::string written = shot_as_toml(*shot);
  const auto again = parse_shot(written, "written");
  ASSERT_TRUE(again) << again.error().line() << "\n" << written;
  EXPECT_EQ(again->name, shot->name);
  EXPECT_EQ(again->seed, shot->seed);
  EXPECT_EQ(again->body.kind, shot->body.kind);
  EXPECT_EQ(again->sensor.mosaic, shot->sensor.mosaic);
  EXPECT_EQ(again->timing.start, shot->timing.start);
  EXPECT_EQ(again->timing.frames, shot->timing.frames);
  EXPECT_NEAR(again->dispersion[2].y.arcsec(), shot->dispersion[2].y.arcsec(), 1e-12);
  EXPECT_NEAR(again->instrument.smear[2].y.arcsec(), -0.09, 1e-12);
  EXPECT_NEAR(again->instrument.wavelengths[2].nm(), 470.0, 1e-9);
  EXPECT_NEAR(again->air.turbulence.r0.cm(), 6.5, 1e-12);
  EXPECT_NEAR(again->scale.arcsec_per_px() / shot->scale.arcsec_per_px(), 1.0, 1e-12);
  EXPECT_EQ(again->air.layers.size(), 2U);
}

// The faults, read and written out and read again.
TEST(ShotFile, FaultsAreReadAndWritten) {
  const auto first = read_shot_file(std::filesystem::path(HALFARC_EXAMPLE_SCENES) / "windy-night.toml");
  ASSERT_TRUE(first) << first.error().line();
  const auto again = parse_shot(shot_as_toml(*first), "written");
  ASSERT_TRUE(again) << again.error().line();
  for (const ShotSpec* shot : {&*first, &*again}) {
    ASSERT_EQ(shot->optics_change.moves.size(), 1U);
    EXPECT_NEAR(shot->optics_change.moves[0].image.x.arcsec(), 1.5, 1e-12);
    EXPECT_NEAR(shot->optics_change.per_minute.defocus_waves, 0.4, 1e-12);
    EXPECT_NEAR(shot->plume.rms_waves, 0.08, 1e-12);
    EXPECT_NEAR(shot->dew.halo.arcsec(), 40.0, 1e-12);
    ASSERT_EQ(shot->blemishes.dust.size(), 2U);
    EXPECT_NEAR(shot->blemishes.dust[1].place.y, 150.0, 1e-12);
    EXPECT_NEAR(shot->body.spin.deg_per_hour(), 14.6, 1e-12);
    EXPECT_NEAR(shot->air.layers[0].pulses.duty, 0.4, 1e-12);
    EXPECT_NEAR(shot->air.spells.lasting.s(), 2.0, 1e-12);
    EXPECT_NEAR(shot->pointing.wind.rms.y.arcsec(), 0.12, 1e-12);
    ASSERT_EQ(shot->pointing.keys.size(), 1U);
    ASSERT_EQ(shot->pointing.nudges.size(), 1U);
    EXPECT_NEAR(shot->pointing.nudges[0].settling.s(), 0.6, 1e-12);
    EXPECT_NEAR(shot->timing.clock.jitter.ms(), 1.5, 1e-12);
  }
}

TEST(ShotFile, MistakesAreNamedWithTheirLine) {
  const auto contains = [](const std::string& text, std::string_view part) {
    return text.find(part) != std::string::npos ? testing::AssertionSuccess()
                                                : testing::AssertionFailure() << text << " lacks " << part;
  };
  const std::string unknown = complaint("seed = 1\n[camera]\nwidht = 300\n");
  EXPECT_TRUE(contains(unknown, "camera.widht"));
  EXPECT_TRUE(contains(unknown, "line 3"));
  EXPECT_TRUE(contains(unknown, "width"));
  EXPECT_TRUE(contains(complaint("[camera]\nwidth = \"wide\"\n"), "camera.width must be a whole number"));
  EXPECT_TRUE(contains(complaint("[camera]\nbits = 20\n"), "8 to 16"));
  EXPECT_TRUE(contains(complaint("[camera]\npattern = \"plaid\"\n"), "camera.pattern must be mono"));
  EXPECT_TRUE(contains(complaint("[body]\nkind = \"cube\"\n"), "body.kind must be"));
  EXPECT_TRUE(contains(complaint("[air]\nr0_cm = -4\n"), "air.r0_cm must be above 0"));
  EXPECT_TRUE(contains(complaint("[air]\nlayer = 3\n"), "[[air.layer]]"));
  EXPECT_TRUE(contains(complaint("[[air.layer]]\nspeed = 3\n"), "air.layer.speed"));
  EXPECT_TRUE(contains(complaint("[dispersion]\nred_arcsec = [1]\n"), "dispersion.red_arcsec must be a list of 2"));
  EXPECT_TRUE(contains(complaint("[timing]\nstart = \"yesterday\"\n"), "timing.start must be a time"));
  EXPECT_TRUE(contains(complaint("[timing]\nexposure_ms = 50\n"), "timing.exposure_ms is longer than"));
  EXPECT_TRUE(contains(complaint("[timing]\nframes_per_s = 0\n"), "timing.frames_per_s must be above 0"));
  EXPECT_TRUE(contains(complaint("[telescope]\nfocal_length_mm = 0\n"), "telescope.focal_length_mm"));
  EXPECT_TRUE(contains(complaint("[pointing.wind]\nspeed = 3\n"), "pointing.wind.speed"));
  EXPECT_TRUE(contains(complaint("[telescope.dew]\nloss = 2\n"), "telescope.dew.loss must be 0 to 1"));
  EXPECT_TRUE(contains(complaint("telescope = 4\n"), "telescope must be a section"));
  EXPECT_TRUE(contains(complaint("name = \"x\nseed"), "line 1"));
  for (const char* toml : {"seed = 1e400", "[telescope]\ndiameter_mm = nan", "[light]\nelectrons = [nan, 1, 1]",
                           "[body]\ndiameter_arcsec = inf", "[pointing]\njitter_arcsec = nan",
                           "[body]\npole_angle_deg = inf", "[pointing]\ndrift_arcsec_per_s = [1e9, 0]"}) {
    EXPECT_NE(complaint(toml), "accepted") << toml;
  }
}

TEST(ShotFile, AMissingFileIsBadInput) {
  const auto shot = read_shot_file("no/such/shot.toml");
  ASSERT_FALSE(shot);
  EXPECT_EQ(shot.error().kind, ErrorKind::bad_input);
}

// The documented examples are good shots.
TEST(ShotFile, ExamplesAreAccepted) {
  int count = 0;
  for (const auto& entry : std::filesystem::directory_iterator(HALFARC_EXAMPLE_SCENES)) {
    const auto shot = read_shot_file(entry.path());
    EXPECT_TRUE(shot) << shot.error().line();
    ++count;
  }
  EXPECT_GE(count, 8);
}

}  // namespace
}  // namespace halfarc
