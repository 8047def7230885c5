#include "halfarc/app/rehearse.h"

#include <fmt/format.h>

#include <algorithm>

#include "halfarc/app/home.h"
#include "halfarc/app/make_document.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

Result<RehearsedRun> make_and_compare(const PlayedClip& clip, Threads threads, Progress& progress) {
  RehearsedRun run;
  run.recording = clip.recording;
  run.truth = clip.truth;
  const ShotSpec& shot = clip.shot;
  MakeOptions make;
  make.runs = {clip.recording};
  make.output = clip.recording.parent_path() / (clip.recording.stem().string() + "-image.fits");
  make.aperture = {shot.instrument.pupil, shot.scale};
  make.scale_source = ScaleSource::given;
  make.threads = threads;
  HALFARC_TRY(FinishedImage finished, make_image(make, progress));
  const Window& w = finished.window;
  for (std::size_t c = 0; c < 3; ++c) {
    const auto part = [&](const Plane<float>& p) { return p.view().part(w.x, w.y, w.width, w.height); };
    run.against_truth[c] =
        compare_plane(finished.picture.restored[c], part(clip.pictures.perfect[c]), part(clip.pictures.scene[c]),
                      shot.scale, cut_off(shot.instrument.pupil, shot.instrument.wavelengths[c]).period());
  }
  run.made = std::move(finished.made);
  return run;
}

std::string run_words(const RehearsedRun& run) {
  const PlaneComparison& green = run.against_truth[1];
  const PixelOffset red = run.against_truth[0].shift - green.shift;
  const PixelOffset blue = run.against_truth[2].shift - green.shift;
  const double apart = run.made.aperture.scale.angle(std::max(red.length(), blue.length())).arcsec();
  return run.recording.filename().string() + ": " + make_words(run.made) +
         fmt::format(
             "  {:<10} right down to {:.2f}\" (half correlation); detail correlation {:.4f}; colours within {:.2f}\"\n"
             "  {:<10} {}\n",
             "in truth", green.half_correlation_period.arcsec(), green.detail_correlation, apart, "truth",
             run.truth.string());
}

}  // namespace

Result<Rehearsal> rehearse(const NightScript& script, const PlayOptions& options, Progress& progress) {
  const Rig rig = example_rig();
  HALFARC_TRY(HiddenRig hidden, rig_for(script, rig, example_site().site, options));
  Rehearsal rehearsal;
  HALFARC_TRY(rehearsal.night, play_night(script, std::move(hidden), rig, options, progress));
  HALFARC_TRY(rehearsal.findings, night_findings(rehearsal.night, options.threads, progress));
  for (PlayedClip& clip : rehearsal.night.clips) {
    if (clip.record.purpose != Purpose::run || clip.record.clock.dropped > 0.0) continue;
    HALFARC_TRY(RehearsedRun run, make_and_compare(clip, options.threads, progress));
    rehearsal.runs.push_back(std::move(run));
  }
  return rehearsal;
}

std::string rehearsal_words(const Rehearsal& rehearsal) {
  std::string text = "What the clips said, and the truth:\n" + findings_words(rehearsal.findings);
  for (const RehearsedRun& run : rehearsal.runs) text += "\n" + run_words(run);
  return text;
}

}  // namespace halfarc
