#include "halfarc/simulate/truth_file.h"

#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "halfarc/frames/image_writers.h"

namespace halfarc {
namespace {

constexpr int kColumns = 16;

Plane<float> frame_table(const ShotTruth& truth) {
  Plane<float> table(kColumns, static_cast<int>(truth.frames.size()));
  for (int i = 0; i < table.height(); ++i) {
    const FrameTruth& f = truth.frames[static_cast<std::size_t>(i)];
    const std::array<double, kColumns> row = {
        f.middle.s(),          f.pointing_px.x,       f.pointing_px.y,   f.air.tilt_px.x, f.air.tilt_px.y,
        f.air.centroid_px.x,   f.air.centroid_px.y,   f.air.rms_nm,      f.r0_factor,     f.optics.defocus_waves,
        f.optics.coma_x_waves, f.optics.coma_y_waves, f.plume_rms_waves, f.veil.kept,     f.veil.scattered,
        f.field_turn.deg()};
    for (int c = 0; c < kColumns; ++c) table(c, i) = static_cast<float>(row[static_cast<std::size_t>(c)]);
  }
  return table;
}

ImageLayer layer(std::string name, const std::array<Plane<float>, 3>& planes) {
  return {std::move(name), {planes[0].view(), planes[1].view(), planes[2].view()}};
}

std::vector<FitsCard> cards(const ShotSpec& shot, Duration unrepeated) {
  const Instrument& instrument = shot.instrument;
  std::vector<FitsCard> cards = {{"OBJECT", shot.name, "an invention"},
                                 {"SCALE", shot.scale.arcsec_per_px(), "[arcsec/px] both axes"},
                                 {"APTDIA", instrument.pupil.diameter.mm(), "[mm] aperture"},
                                 {"APTOBS", instrument.pupil.obstruction, "obstruction as a fraction of the diameter"},
                                 {"R0CM", shot.air.turbulence.r0.cm(), "[cm] Fried's length at 500 nm"},
                                 {"SEED", static_cast<std::int64_t>(shot.seed), "of the random numbers"}};
  static constexpr std::array<const char*, 3> names = {"R", "G", "B"};
  for (std::size_t c = 0; c < 3; ++c) {
    const std::string colour = names[c];
    cards.push_back({"WAVE_" + colour, instrument.wavelengths[c].nm(), "[nm] wavelength of the plane"});
    cards.push_back({"ELEC_" + colour, shot.brightness.electrons[c], "[e] in one exposure at brightness 1"});
    cards.push_back({"DISPX_" + colour, shot.scale.pixels(shot.dispersion[c].x), "[px] dispersion to the right"});
    cards.push_back({"DISPY_" + colour, shot.scale.pixels(shot.dispersion[c].y), "[px] dispersion downwards"});
    const SkyOffset& smear = instrument.smear[c];
    cards.push_back({"SMEARX_" + colour, shot.scale.pixels(smear.x), "[px] rms, drawn out by dispersion: right"});
    cards.push_back({"SMEARY_" + colour, shot.scale.pixels(smear.y), "[px] and downwards"});
  }
  if (std::isfinite(unrepeated.s())) {
    cards.push_back({"AIRSPAN", unrepeated.s(), "[s] after which fine structure of the air comes again"});
  }
  for (const char* line : {"Primary: the scene through a perfect telescope of the aperture, averaged over",
                           "the camera's pixels. SCENE: the bare scene, mean brightness in each pixel.",
                           "Brightness 1: a white surface facing Sun and observer. Row 0 is the top row.",
                           "FRAMES: one row a frame; columns: seconds after the start; drift and jitter",
                           "x, y; slope of the air's wavefront x, y; centre of green light x, y (all px);",
                           "rms of the path without piston and tilt (nm); Fried's length over the stated;",
                           "defocus, coma x, y (waves of green at the edge of the pupil); plume (waves rms);",
                           "light kept by dew and share of it scattered; turn of the field (deg, clockwise)."}) {
    cards.push_back({"COMMENT", std::string(line), ""});
  }
  return cards;
}

}  // namespace

Result<void> write_truth_file(const std::filesystem::path& path, const ShotSpec& shot, const ShotTruth& truth) {
  const Plane<float> frames = frame_table(truth);
  const std::vector<ImageLayer> layers = {
      layer("", truth.perfect), layer("SCENE", truth.scene), {"FRAMES", {frames.view()}}};
  return write_fits_image(path, layers, cards(shot, truth.unrepeated));
}

}  // namespace halfarc
