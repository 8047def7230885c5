#include "halfarc/app/night_findings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "halfarc/app/check_clip.h"
#include "halfarc/app/find_focus.h"

namespace halfarc {
namespace {

constexpr const char* kNoReading = "no reading";

std::string vector_words(double x, double y, const char* unit) {
  return fmt::format("{:.2f} {} towards {:.0f} deg", std::hypot(x, y), unit, direction_of({x, y}).deg());
}

ClipOptics optics_of(const ShotSpec& shot) {
  return {shot.instrument.pupil, shot.instrument.wavelengths[1], shot.scale};
}

std::string coma_read(const ClipCheck& check) {
  if (!check.donut || !check.donut->optics) return kNoReading;
  const StarRing& ring = *check.donut->optics;
  return vector_words(ring.coma_x.value, ring.coma_y.value, "waves") +
         fmt::format(", \u00b1 {:.2f}", ring.coma_sigma());
}

std::string plume_read(const ClipCheck& check) {
  if (!check.donut || !check.donut->optics) return kNoReading;
  if (!check.donut->optics->plume) return "not told by a clip under four seconds";
  const Measured<double>& plume = *check.donut->optics->plume;
  return fmt::format("{:.2f} waves rms \u00b1 {:.2f}", plume.value, plume.sigma);
}

std::string colours_read(const ClipCheck& check, PlateScale scale) {
  if (!check.colours) return kNoReading;
  const PixelOffset off = check.colours->red_minus_green - check.colours->blue_minus_green;
  return vector_words(scale.angle(off.x).arcsec(), scale.angle(off.y).arcsec(), "arcsec") +
         fmt::format(", \u00b1 {:.2f}", scale.angle(check.colours->sigma()).arcsec());
}

std::string colours_truth(const ShotSpec& shot) {
  return vector_words((shot.dispersion[0].x - shot.dispersion[2].x).arcsec(),
                      (shot.dispersion[0].y - shot.dispersion[2].y).arcsec(), "arcsec");
}

std::string burned_read(const ClipCheck& check) {
  const auto& saturated = check.summary.saturated;
  return fmt::format("{:.0f} % of the disc at full scale",
                     100.0 * *std::max_element(saturated.begin(), saturated.end()));
}

std::string clock_read(const ClipCheck& check) {
  if (!check.clock) return kNoReading;
  return fmt::format("{} frames lost in {} gaps; begins {}", check.clock->dropped, check.clock->gaps,
                     check.clock->start.iso(0));
}

std::string zenith_read(const ClipCheck& check) {
  const auto& camera = check.geometry.camera;
  if (!camera) return kNoReading;
  return fmt::format("{:.1f} deg clockwise from up \u00b1 {:.1f}", camera->zenith.value.deg(),
                     camera->zenith.sigma.deg());
}

std::string clock_truth(const PlayedClip& clip) {
  std::string text = clip.record.clock.dropped > 0.0 ? fmt::format("{:.0f} % lost", 100.0 * clip.record.clock.dropped)
                                                     : std::string("none lost");
  const Utc start = clip.shot.timing.start - clip.record.clock_wrong_by;
  return text + "; began " + start.iso(0);
}

Result<void> add_findings_of(const PlayedClip& clip, Threads threads, Progress& progress,
                             std::vector<NightFinding>& findings) {
  const Purpose purpose = clip.record.purpose;
  if (purpose == Purpose::finding || purpose == Purpose::focus_series) return {};
  CheckOptions options;
  options.scale = clip.shot.scale;
  options.optics = optics_of(clip.shot);
  options.threads = threads;
  if (clip.record.key_up) options.geometry.key = Key::up;
  HALFARC_TRY(const ClipCheck check, check_clip(clip.recording, options, progress));
  const std::string file = clip.recording.filename().string();
  const Instrument& optics = clip.shot.instrument;
  switch (purpose) {
    case Purpose::cooling:
      findings.push_back({file, "warm air in the tube", plume_read(check),
                          fmt::format("{:.2f} waves rms, half of it standing", clip.shot.plume.rms_waves)});
      break;
    case Purpose::collimation:
      findings.push_back(
          {file, "coma", coma_read(check), vector_words(optics.coma_x_waves, optics.coma_y_waves, "waves")});
      break;
    case Purpose::colours:
      findings.push_back({file, "red from blue", colours_read(check, clip.shot.scale), colours_truth(clip.shot)});
      break;
    case Purpose::camera_angle:
      findings.push_back({file, "zenith on the picture", zenith_read(check),
                          fmt::format("{:.1f} deg clockwise from up", clip.zenith.deg())});
      break;
    case Purpose::exposure:
      findings.push_back(
          {file, "burned out", burned_read(check), fmt::format("exposed {:.1f} ms", clip.shot.timing.exposure.ms())});
      break;
    case Purpose::run:
      findings.push_back({file, "clock", clock_read(check), clock_truth(clip)});
      break;
    case Purpose::finding:
    case Purpose::focus_series:
      break;
  }
  return {};
}

Result<void> add_focus(const PlayedNight& night, Threads threads, Progress& progress,
                       std::vector<NightFinding>& findings) {
  std::vector<FocusAsk> asks;
  const PlayedClip* last = nullptr;
  double zero = 0.0;
  for (const PlayedClip& clip : night.clips) {
    if (clip.record.purpose != Purpose::focus_series) continue;
    if (last == nullptr) zero = clip.knob;
    asks.push_back(
        {clip.recording, clip.knob - zero, clip.by_clockwise ? Approach::clockwise : Approach::counter_clockwise});
    last = &clip;
  }
  if (last == nullptr) return {};
  FocusOptions options;
  options.rig = night.hidden.rig;
  options.train = night.hidden.train;
  options.rig_known = true;
  options.scale = last->shot.scale;
  options.threads = threads;
  const Result<FoundFocus> found = find_focus(asks, options, progress);
  if (!found && found.error().kind != ErrorKind::bad_input) return found.error();
  // What was left to turn after the last clip, in the sense of its own push.
  const double left = -last->defocus_waves / waves_per_turn(night.hidden);
  const std::string truth = fmt::format("{:+.4f} turn, slack {:.3f}", left, night.hidden.knob.slack_turns);
  const std::string read =
      found ? fmt::format("{:+.4f} turn \u00b1 {:.4f}{}", found->to_turn().value, found->to_turn().sigma,
                          found->series.backlash
                              ? fmt::format(", slack {:.3f} \u00b1 {:.3f}", found->series.backlash->value,
                                            found->series.backlash->sigma)
                              : "")
            : std::string(kNoReading);
  findings.push_back({last->recording.filename().string(), "focus, from here", read, truth});
  return {};
}

}  // namespace

Result<std::vector<NightFinding>> night_findings(const PlayedNight& night, Threads threads, Progress& progress) {
  std::vector<NightFinding> findings;
  for (const PlayedClip& clip : night.clips) HALFARC_CHECK(add_findings_of(clip, threads, progress, findings));
  HALFARC_CHECK(add_focus(night, threads, progress, findings));
  return findings;
}

std::string findings_words(const std::vector<NightFinding>& findings) {
  std::string text;
  for (const NightFinding& f : findings) {
    text += fmt::format("{}\n  {:<22}{}\n  {:<22}{}\n", f.recording, f.what, f.read, "in truth", f.truth);
  }
  return text;
}

}  // namespace halfarc
