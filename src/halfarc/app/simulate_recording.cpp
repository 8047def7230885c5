#include "halfarc/app/simulate_recording.h"

#include <vector>

#include "halfarc/base/atomic_file.h"
#include "halfarc/frames/fits_cube_writer.h"
#include "halfarc/simulate/shot_file.h"
#include "halfarc/simulate/truth_file.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

// run-1.fits -> run-1-truth.fits
fs::path beside(const fs::path& recording, const char* ending) {
  return recording.parent_path() / (recording.stem().string() + ending);
}

std::vector<FitsCard> cards(const ShotSpec& shot) {
  return {{"OBJECT", shot.name, "an invention"},
          {"APTDIA", shot.instrument.pupil.diameter.mm(), "[mm] aperture"},
          {"PIXSCALE", shot.scale.arcsec_per_px(), "[arcsec/pixel]"},
          {"EGAIN", shot.sensor.electrons_per_adu, "[e-/ADU]"}};
}

}  // namespace

Result<SimulatedFiles> simulate_to_files(const ShotSpec& shot, const fs::path& recording, Threads threads,
                                         Progress& progress) {
  HALFARC_CHECK(check(shot));
  SimulatedFiles files;
  files.recording = recording;
  files.truth_path = beside(recording, "-truth.fits");
  files.shot_path = beside(recording, "-shot.toml");

  const bool bytes = shot.sensor.bits <= 8;
  CubeForm form;
  form.width = shot.width;
  form.height = shot.height;
  form.mosaic = shot.sensor.mosaic;
  form.sample = bytes ? Sample::u8 : Sample::u16;
  form.bits = shot.sensor.bits;
  form.start = shot.timing.start;
  form.exposure = shot.timing.exposure;
  HALFARC_TRY(FitsCubeWriter writer, FitsCubeWriter::create(recording, form, cards(shot)));
  std::vector<std::uint16_t> samples;
  std::vector<std::uint8_t> narrow;
  HALFARC_TRY(files.truth, simulate_recording(shot, threads, progress, [&](const SimulatedFrame& frame) {
                samples.clear();
                for (int y = 0; y < frame.samples.height(); ++y) {
                  samples.insert(samples.end(), frame.samples.row(y), frame.samples.row(y) + frame.samples.width());
                }
                if (bytes) narrow.assign(samples.begin(), samples.end());
                const auto all = bytes ? std::as_bytes(std::span(narrow)) : std::as_bytes(std::span(samples));
                return writer.append(all, std::span(&frame.middle, 1));
              }));
  files.frames = writer.frames();
  HALFARC_CHECK(write_truth_file(files.truth_path, shot, files.truth));
  HALFARC_CHECK(write_file(files.shot_path, shot_as_toml(shot)));
  HALFARC_CHECK(writer.finish());
  return files;
}

}  // namespace halfarc
