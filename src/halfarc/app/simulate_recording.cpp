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
  return {{"OBJECT", shot.object.empty() ? shot.name : shot.object, "an invention"},
          {"APTDIA", shot.instrument.pupil.diameter.mm(), "[mm] aperture"},
          {"PIXSCALE", shot.scale.arcsec_per_px(), "[arcsec/pixel]"},
          {"EGAIN", shot.sensor.electrons_per_adu, "[e-/ADU]"}};
}

CubeForm form_of(const ShotSpec& shot) {
  CubeForm form;
  form.width = shot.width;
  form.height = shot.height;
  form.mosaic = shot.sensor.mosaic;
  form.sample = shot.sensor.bits <= 8 ? Sample::u8 : Sample::u16;
  form.bits = shot.sensor.bits;
  form.start = shot.timing.start;
  form.exposure = shot.timing.exposure;
  return form;
}

// Takes the frames of a simulation into a cube.
class FrameWriter {
 public:
  FrameWriter(FitsCubeWriter& writer, Sample sample) : writer_(writer), sample_(sample) {}

  Result<void> append(const SimulatedFrame& frame) {
    samples_.clear();
    for (int y = 0; y < frame.samples.height(); ++y) {
      samples_.insert(samples_.end(), frame.samples.row(y), frame.samples.row(y) + frame.samples.width());
    }
    if (sample_ == Sample::u8) narrow_.assign(samples_.begin(), samples_.end());
    const auto all = sample_ == Sample::u8 ? std::as_bytes(std::span(narrow_)) : std::as_bytes(std::span(samples_));
    return writer_.append(all, std::span(&frame.middle, 1));
  }

 private:
  FitsCubeWriter& writer_;
  Sample sample_;
  std::vector<std::uint16_t> samples_;
  std::vector<std::uint8_t> narrow_;
};

Result<void> write_frames(const ShotSpec& shot, FitsCubeWriter& writer, const BeforeFrame& before_frame,
                          Threads threads, Progress& progress, SimulatedFiles& files) {
  FrameWriter frames(writer, form_of(shot).sample);
  HALFARC_TRY(files.truth, simulate_recording(shot, threads, progress, [&](const SimulatedFrame& frame) {
                if (before_frame) before_frame(frame.truth.middle);
                return frames.append(frame);
              }));
  files.frames = writer.frames();
  HALFARC_CHECK(write_truth_file(files.truth_path, shot, files.truth));
  HALFARC_CHECK(write_file(files.shot_path, shot_as_toml(shot)));
  return writer.finish();
}

}  // namespace

Result<SimulatedFiles> simulate_to_files(const ShotSpec& shot, const fs::path& recording, Threads threads,
                                         Progress& progress) {
  HALFARC_CHECK(check(shot));
  SimulatedFiles files;
  files.recording = recording;
  files.truth_path = beside(recording, "-truth.fits");
  files.shot_path = beside(recording, "-shot.toml");
  HALFARC_TRY(FitsCubeWriter writer, FitsCubeWriter::create(recording, form_of(shot), cards(shot)));
  HALFARC_CHECK(write_frames(shot, writer, {}, threads, progress, files));
  return files;
}

Result<SimulatedFiles> capture_to_files(const ShotSpec& shot, const fs::path& recording,
                                        const BeforeFrame& before_frame, Threads threads, Progress& progress) {
  HALFARC_CHECK(check(shot));
  const fs::path inside = recording.parent_path() / "truth" / recording.filename();
  std::error_code error;
  fs::create_directories(inside.parent_path(), error);
  if (error)
    return failed("cannot make the folder: " + error.message(), inside.parent_path().string(),
                  "choose another with -o");
  SimulatedFiles files;
  files.recording = recording;
  files.truth_path = beside(inside, "-truth.fits");
  files.shot_path = beside(inside, "-shot.toml");
  HALFARC_TRY(FitsCubeWriter writer,
              FitsCubeWriter::create_growing(recording, form_of(shot), shot.timing.frames, cards(shot)));
  HALFARC_CHECK(write_frames(shot, writer, before_frame, threads, progress, files));
  return files;
}

}  // namespace halfarc
