#include "halfarc/app/rehearse.h"

#include <fmt/format.h>

#include <algorithm>
#include <system_error>

#include "halfarc/app/check_document.h"
#include "halfarc/app/make_document.h"
#include "halfarc/app/simulate_recording.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

// What all shots of the night share: telescope, camera and hour.
ShotSpec shot_of_the_night(const RehearseOptions& options, std::string name, Duration after_start) {
  ShotSpec shot;
  shot.name = std::move(name);
  shot.seed = options.seed;
  shot.timing.start = Utc::civil(2026, 12, 4, 21, 0, 0.0).value() + after_start;
  shot.timing.frames = options.frames;
  shot.timing.interval = Duration::ms(8.0);
  shot.timing.exposure = Duration::ms(6.0);
  shot.air.turbulence.r0 = Length::cm(8.5);
  shot.pointing.drift_per_second = {Angle::arcsec(0.03), Angle::arcsec(-0.02)};
  shot.pointing.jitter = Angle::arcsec(0.05);
  shot.sensor.bits = 12;
  shot.sensor.electrons_per_adu = 0.8;
  return shot;
}

ShotSpec ruddy(const RehearseOptions& options, std::string name, Duration after_start) {
  ShotSpec shot = shot_of_the_night(options, std::move(name), after_start);
  shot.width = 176;
  shot.height = 176;
  shot.body.kind = BodyKind::ruddy_disc;
  shot.body.equatorial_diameter = Angle::arcsec(13.8);
  shot.body.flattening = 0.006;
  shot.body.pole_angle = Angle::deg(20.0);
  shot.body.sub_observer_latitude = Angle::deg(12.0);
  shot.body.central_meridian = Angle::deg(130.0);
  shot.brightness.electrons = {900.0, 620.0, 260.0};
  return shot;
}

ShotSpec banded(const RehearseOptions& options, std::string name, Duration after_start) {
  ShotSpec shot = shot_of_the_night(options, std::move(name), after_start);
  shot.width = 320;
  shot.height = 320;
  shot.body.kind = BodyKind::banded_giant;
  shot.body.equatorial_diameter = Angle::arcsec(43.0);
  shot.body.pole_angle = Angle::deg(-14.0);
  shot.body.sub_observer_latitude = Angle::deg(2.0);
  shot.body.central_meridian = Angle::deg(40.0);
  shot.brightness.electrons = {520.0, 560.0, 400.0};
  return shot;
}

SkyOffset up(double arcsec) { return {Angle::arcsec(0.0), Angle::arcsec(-arcsec)}; }

Result<RehearsedRun> rehearse_run(const ShotSpec& shot, const RehearseOptions& options, Progress& progress) {
  RehearsedRun run;
  run.recording = options.folder / (shot.name + ".fits");
  HALFARC_TRY(const SimulatedFiles files, simulate_to_files(shot, run.recording, options.threads, progress));
  run.truth = files.truth_path;

  MakeOptions make;
  make.runs = {run.recording};
  make.output = options.folder / (shot.name + "-image.fits");
  make.aperture = {shot.instrument.pupil, shot.scale};
  make.scale_source = ScaleSource::given;
  make.threads = options.threads;
  HALFARC_TRY(FinishedImage finished, make_image(make, progress));
  const Window& w = finished.window;
  for (std::size_t c = 0; c < 3; ++c) {
    const auto part = [&](const Plane<float>& p) { return p.view().part(w.x, w.y, w.width, w.height); };
    run.against_truth[c] =
        compare_plane(finished.picture.restored[c], part(files.truth.perfect[c]), part(files.truth.scene[c]),
                      shot.scale, cut_off(shot.instrument.pupil, shot.instrument.wavelengths[c]).period());
  }
  run.made = std::move(finished.made);
  return run;
}

}  // namespace

std::vector<ShotSpec> night_of_shots(const RehearseOptions& options) {
  ShotSpec clip = ruddy(options, "clip-1-ruddy", Duration::minutes(0.0));
  clip.timing.frames = std::max<std::size_t>(40, options.frames / 5);
  clip.dispersion = {up(-0.5), up(0.0), up(0.6)};  // the levers still stand at zero
  ShotSpec first = ruddy(options, "run-1-ruddy", Duration::minutes(12.0));
  first.dispersion = {up(-0.12), up(0.0), up(0.15)};
  ShotSpec second = banded(options, "run-2-banded", Duration::minutes(31.0));
  second.dispersion = {up(-0.10), up(0.0), up(0.12)};
  return {clip, first, second};
}

Result<Rehearsal> rehearse(const RehearseOptions& options, Progress& progress) {
  std::error_code error;
  fs::create_directories(options.folder, error);
  if (error)
    return failed("cannot make the folder: " + error.message(), options.folder.string(), "choose another with -o");
  const std::vector<ShotSpec> shots = night_of_shots(options);
  Rehearsal night;
  const fs::path clip = options.folder / (shots[0].name + ".fits");
  HALFARC_CHECK(simulate_to_files(shots[0], clip, options.threads, progress));
  CheckOptions check;
  check.scale = shots[0].scale;
  check.threads = options.threads;
  HALFARC_TRY(night.clip, check_clip(clip, check, progress));
  for (std::size_t i = 1; i < shots.size(); ++i) {
    HALFARC_TRY(RehearsedRun run, rehearse_run(shots[i], options, progress));
    night.runs.push_back(std::move(run));
  }
  return night;
}

std::string rehearsal_words(const Rehearsal& rehearsal) {
  std::string text = check_words(rehearsal.clip);
  for (const RehearsedRun& run : rehearsal.runs) {
    const PlaneComparison& green = run.against_truth[1];
    const PixelOffset red = run.against_truth[0].shift - green.shift;
    const PixelOffset blue = run.against_truth[2].shift - green.shift;
    const double apart = run.made.aperture.scale.angle(std::max(red.length(), blue.length())).arcsec();
    text += "\n" + run.recording.filename().string() + ": " + make_words(run.made);
    text += fmt::format(
        "  {:<10} right down to {:.2f}\" (half correlation); detail correlation {:.4f}; colours within {:.2f}\"\n",
        "in truth", green.half_correlation_period.arcsec(), green.detail_correlation, apart);
    text += fmt::format("  {:<10} {}\n", "truth", run.truth.string());
  }
  return text;
}

}  // namespace halfarc
