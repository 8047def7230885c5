#include "halfarc/app/clip_advice.h"
#include "halfarc/app/check_document.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>

#include "halfarc/air/turbulence.h"
#include "halfarc/app/donut_words.h"
#include "halfarc/app/geometry_words.h"

namespace halfarc {
namespace {

using nlohmann::json;

// Words -------------------------------------------------------------------------------------------------------------

// With as many decimals as the error leaves meaning: its first two digits.
std::string with_error(double value, double sigma) {
  const int decimals = sigma > 0.0 ? std::clamp(1 - static_cast<int>(std::floor(std::log10(sigma))), 0, 4) : 2;
  return fmt::format("{:.{}f} ± {:.{}f}", value, decimals, sigma, decimals);
}

std::string kind_words(const ClipCheck& c) {
  switch (c.kind) {
    case ClipKind::planet:
      return "a planet";
    case ClipKind::star:
      return c.hollow ? "a star out of focus" : c.wide ? "a star or a disc far out of focus" : "a star";
    case ClipKind::surface:
      return "a surface";
    case ClipKind::bright:
      return "an over-exposed disc";
    case ClipKind::empty:
      return "nothing above the sky";
  }
  return "nothing";
}

std::string title(const ClipCheck& c) {
  const RecordingInfo& r = c.recording;
  std::string text = fmt::format("{}: {}, {} frame{} of {} x {}, {} bit {}", r.path.filename().string(), kind_words(c),
                                 r.frames, r.frames == 1 ? "" : "s", r.width, r.height, r.bits, name(r.mosaic));
  if (c.clock) text += fmt::format(", {:.1f} s", (c.clock->end - c.clock->start).s());
  return text + "\n";
}

void line(std::string& text, std::string_view label, const std::string& words) {
  text += fmt::format("  {:<10} {}\n", label, words);
}

// The place on the image that a vector points to, as a hand of a clock.
std::string clock_hand(PixelOffset d) {
  const double hours = std::atan2(d.x, -d.y) * 6.0 / 3.14159265358979323846;
  const int hour = (static_cast<int>(std::lround(hours)) + 11) % 12 + 1;
  return fmt::format("towards {} o'clock", hour);
}

std::string length_words(const ClipCheck& c, double px, double sigma) {
  if (c.scale) {
    const double s = c.scale->arcsec_per_px();
    return with_error(px * s, sigma * s) + "\"";
  }
  return with_error(px, sigma) + " px";
}

// A bound, to two digits.
std::string bound_words(const ClipCheck& c, double px) {
  return c.scale ? fmt::format("{:.2g}\"", px * c.scale->arcsec_per_px()) : fmt::format("{:.2g} px", px);
}

void disc_lines(std::string& text, const ClipCheck& c) {
  const DiscFit& d = *c.disc;
  std::string words = with_error(d.equatorial_diameter.value, d.equatorial_diameter.sigma) + " px across";
  if (c.scale) words += ", " + length_words(c, d.equatorial_diameter.value, d.equatorial_diameter.sigma);
  line(text, "disc", words + fmt::format(", at {:.0f}, {:.0f}", d.x.value, d.y.value));
  if (d.flattening.value > 3.0 * d.flattening.sigma) {
    line(text, "",
         fmt::format("flattened by {}, its short axis at {}° from up (clockwise)",
                     with_error(d.flattening.value, d.flattening.sigma),
                     with_error(d.pole_angle.value.deg(), d.pole_angle.sigma.deg())));
  } else {
    line(text, "",
         fmt::format("round, as far as this clip can tell (flattening {})",
                     with_error(d.flattening.value, d.flattening.sigma)));
  }
}

void motion_lines(std::string& text, const ClipCheck& c) {
  const Motion& m = *c.motion;
  const PixelOffset drift{m.drift_x.value, m.drift_y.value};
  const double sigma = std::max(m.drift_x.sigma, m.drift_y.sigma);
  const std::string words =
      drift.length() > 3.0 * sigma
          ? fmt::format("drifts {} a second {}", length_words(c, drift.length(), sigma), clock_hand(drift))
          : fmt::format("no drift that stands out, at most {} a second", bound_words(c, 3.0 * sigma));
  line(text, "motion", words);
  line(text, "",
       fmt::format("wanders {} across and {} up and down (rms)", length_words(c, m.rms_x.value, m.rms_x.sigma),
                   length_words(c, m.rms_y.value, m.rms_y.sigma)));
  if (!m.steps.empty()) {
    line(text, "",
         fmt::format("{} sudden step{}, the first at frame {}", m.steps.size(), m.steps.size() == 1 ? "" : "s",
                     m.steps.front().frame));
  }
}

void colour_lines(std::string& text, const ClipCheck& c) {
  const auto one = [&](std::string_view label, std::string_view colour, PixelOffset d, PixelOffset sigma) {
    const double error = std::max(sigma.x, sigma.y);
    line(text, label,
         d.length() > 3.0 * error
             ? fmt::format("{} lies {} from green, {}", colour, length_words(c, d.length(), error), clock_hand(d))
             : fmt::format("{} lies on green within {}", colour, length_words(c, d.length(), error)));
  };
  one("colours", "red", c.colours->red_minus_green, c.colours->red_sigma);
  one("", "blue", c.colours->blue_minus_green, c.colours->blue_sigma);
}

double most_saturated(const ClipCheck& c) {
  return *std::max_element(c.summary.saturated.begin(), c.summary.saturated.end());
}

void exposure_lines(std::string& text, const ClipCheck& c) {
  std::string words = fmt::format("brightest at {:.0f} % of full scale", 100.0 * c.peak_fraction());
  if (most_saturated(c) > 5e-4) {
    const auto& s = c.summary.saturated;
    words += c.recording.mosaic == Mosaic::mono
                 ? fmt::format("; {:.1f} % of it burnt out", 100.0 * s[1])
                 : fmt::format("; burnt out: red {:.1f} %, green {:.1f} %, blue {:.1f} %", 100.0 * s[0], 100.0 * s[1],
                               100.0 * s[2]);
  } else {
    words += ", nothing burnt out";
  }
  line(text, "exposure", words);
  line(text, "", fmt::format("sky {:.1f} ADU, its noise {:.1f} ADU", c.summary.background, c.summary.noise));
}

std::string clock_words(const ClipCheck& c) {
  if (!c.clock) return "the recording holds no usable times, so rates are unknown";
  const Clock& k = *c.clock;
  std::string words = fmt::format("{:.2f} frames a second", k.frames_per_second.value);
  words += k.dropped == 0 ? ", none missing"
                          : fmt::format(", {} missing in {} gap{} (longest {:.2f} s)", k.dropped, k.gaps,
                                        k.gaps == 1 ? "" : "s", k.longest_gap.s());
  words += fmt::format(", each within {:.2g} ms of an even clock", k.jitter.ms());
  if (c.repeated > 0) words += fmt::format(", {} with the picture of the one before", c.repeated);
  if (k.same_time > 0) words += fmt::format(", {} with the time of the one before", k.same_time);
  if (k.backwards > 0) words += fmt::format(", {} going back in time", k.backwards);
  return words;
}

// What to do about it, the most useful first. The bounds are common practice.
std::vector<std::string> advice_words(const ClipCheck& c) {
  std::vector<std::string> out;
  if (c.kind == ClipKind::empty)
    out.push_back(
        "Nothing to measure: check the pointing, then the focus; a planet far out of focus is too faint to see.");
  for (std::string& advice : light_advice(c.light)) out.push_back(std::move(advice));
  if (c.kind == ClipKind::empty) return out;
  if (c.kind == ClipKind::bright)
    out.push_back(
        "Much of the disc is burnt out. Good for seeing the colour fringe at the limb; expose less for everything "
        "else.");
  else if (most_saturated(c) > 5e-4)
    out.push_back("Expose a little less: burnt-out samples hold no detail.");
  else if (c.peak_fraction() < 0.25 && c.kind != ClipKind::star)
    out.push_back(
        "The picture is faint for this camera: a longer exposure or more gain would lift it above the noise.");
  if (c.colours && c.scale) {
    const PixelOffset apart = c.colours->blue_minus_green - c.colours->red_minus_green;
    const double arcsec = apart.length() * c.scale->arcsec_per_px();
    const double sigma = std::hypot(c.colours->sigma(), c.colours->sigma()) * c.scale->arcsec_per_px();
    if (arcsec > 0.2 && arcsec > 3.0 * sigma) {
      out.push_back(fmt::format("Red and blue lie {} apart: trim the dispersion corrector until they meet.",
                                with_error(arcsec, sigma) + "\""));
    }
  }
  if (c.clock && c.clock->dropped * 50 > c.recording.frames)
    out.push_back("More than 2 % of the frames are missing: a smaller region or a faster disk would keep them.");
  if (c.repeated * 50 > c.recording.frames)
    out.push_back(
        fmt::format("{} frames repeat the picture before them: the camera delivers fewer new frames than are written.",
                    c.repeated));
  if (c.kind == ClipKind::star && c.hollow && c.recording.frames < 100)
    out.push_back("A ring is measured better from more frames: record 10 s.");
  if (c.donut) {
    for (std::string& advice : donut_advice(*c.donut)) out.push_back(std::move(advice));
  }
  for (const Advice& advice : c.advice) {
    if (!advice.words.empty()) out.push_back(advice.words);
  }
  return out;
}

// JSON --------------------------------------------------------------------------------------------------------------

json pair(double x, double y) { return json::array({x, y}); }

json recording_of(const ClipCheck& c) {
  const RecordingInfo& r = c.recording;
  json j = {{"path", r.path.string()}, {"container", r.container}, {"width", r.width},
            {"height", r.height},      {"bits", r.bits},           {"pattern", std::string(name(r.mosaic))},
            {"frames", r.frames},      {"notes", c.notes}};
  if (c.repeated > 0) j["repeated_frames"] = c.repeated;
  if (c.clock) {
    const Clock& k = *c.clock;
    j["start_utc"] = k.start.iso(3);
    j["end_utc"] = k.end.iso(3);
    j["fps"] = k.frames_per_second.value;
    j["fps_sigma"] = k.frames_per_second.sigma;
    j["dropped_frames"] = k.dropped;
    j["jitter_ms"] = k.jitter.ms();
    if (c.light.times) {
      j["times_ahead_s"] = c.light.times->ahead.s();
      if (c.light.times->whole_hours != 0) j["times_ahead_whole_hours"] = c.light.times->whole_hours;
    }
    if (k.same_time > 0) j["same_time_frames"] = k.same_time;
    if (k.backwards > 0) j["backward_times"] = k.backwards;
  } else if (r.start) {
    j["start_utc"] = r.start->iso(3);
  }
  return j;
}

json donut_of(const Donut& donut) {
  json j = json::object();
  if (donut.shape) {
    const RingShape& s = *donut.shape;
    j["outer_diameter_px"] = s.outer_diameter.value;
    j["outer_sigma_px"] = s.outer_diameter.sigma;
    j["inner_diameter_px"] = s.inner_diameter.value;
    j["inner_sigma_px"] = s.inner_diameter.sigma;
    j["hole_offset"] = pair(s.hole_x.value, s.hole_y.value);
    j["hole_offset_sigma"] = pair(s.hole_x.sigma, s.hole_y.sigma);
  }
  if (donut.optics) {
    const StarRing& r = *donut.optics;
    j["wavelength_nm"] = donut.wavelength.nm();
    j["defocus_waves"] = r.defocus.value;
    j["defocus_sigma_waves"] = r.defocus.sigma;
    j["coma_waves"] = pair(r.coma_x.value, r.coma_y.value);
    j["sigma_waves"] = r.coma_sigma();
    j["astigmatism_waves"] = pair(r.astigmatism.value, r.astigmatism_45.value);
    j["astigmatism_sigma_waves"] = std::max(r.astigmatism.sigma, r.astigmatism_45.sigma);
    j["plume_waves"] = r.plume.value;
    j["plume_sigma_waves"] = r.plume.sigma;
    j["r0_cm"] = r.r0.value.cm();
    j["r0_sigma_cm"] = r.r0.sigma.cm();
    j["explained"] = r.explained;
    j["half_sigma_clip_s"] = clip_for(r, 0.5 * r.coma_sigma()).s();
  }
  return j;
}

json disc_of(const DiscFit& d) {
  json j = {{"x_px", d.x.value},
            {"y_px", d.y.value},
            {"centre_sigma_px", pair(d.x.sigma, d.y.sigma)},
            {"equatorial_diameter_px", d.equatorial_diameter.value},
            {"sigma_px", d.equatorial_diameter.sigma},
            {"flattening", d.flattening.value},
            {"flattening_sigma", d.flattening.sigma},
            {"blur_px", d.blur.value},
            {"blur_sigma_px", d.blur.sigma}};
  if (d.flattening.value > 3.0 * d.flattening.sigma) {
    j["pole_angle_deg"] = d.pole_angle.value.deg();
    j["pole_angle_sigma_deg"] = d.pole_angle.sigma.deg();
  }
  return j;
}

json motion_json(const ClipCheck& c) {
  const Motion& m = *c.motion;
  json j = {{"drift_px_per_s", pair(m.drift_x.value, m.drift_y.value)},
            {"drift_sigma_px_per_s", pair(m.drift_x.sigma, m.drift_y.sigma)},
            {"rms_px", pair(m.rms_x.value, m.rms_y.value)},
            {"rms_sigma_px", pair(m.rms_x.sigma, m.rms_y.sigma)}};
  if (c.scale) {
    const double s = c.scale->arcsec_per_px();
    j["drift_arcsec_per_s"] = pair(m.drift_x.value * s, m.drift_y.value * s);
    j["drift_sigma_arcsec_per_s"] = pair(m.drift_x.sigma * s, m.drift_y.sigma * s);
    j["rms_arcsec"] = pair(m.rms_x.value * s, m.rms_y.value * s);
    j["rms_sigma_arcsec"] = pair(m.rms_x.sigma * s, m.rms_y.sigma * s);
  }
  if (!m.steps.empty()) {
    j["steps"] = json::array();
    for (const Step& step : m.steps)
      j["steps"].push_back({{"frame", step.frame}, {"by_px", pair(step.by.x, step.by.y)}});
  }
  return j;
}

json air_of(const Seeing& s) {
  return {{"fwhm_arcsec", s.fwhm.value.arcsec()},
          {"sigma", s.fwhm.sigma.arcsec()},
          {"r0_cm", s.r0.value.cm()},
          {"r0_sigma_cm", s.r0.sigma.cm()}};
}

json seeing_of(const ClipAir& air) {
  json j = air_of(air.seeing);
  j["wavelength_nm"] = kSeeingWavelength.nm();
  j["method"] = std::string(words(air.seeing.method));
  if (air.seeing.coherence) {
    j["coherence_ms"] = air.seeing.coherence->value.ms();
    j["coherence_sigma_ms"] = air.seeing.coherence->sigma.ms();
  }
  if (air.smear) {
    j["smear_arcsec"] = air.smear->arcsec();
    j["smear_of_half_arcsec"] = air.smear_of_half->arcsec();
  }
  if (air.zenith) {
    j["zenith"] = air_of(*air.zenith);
    j["zenith"]["airmass"] = *air.airmass;
  }
  return j;
}

json dispersion_of(const ColourShift& s) {
  return {{"red_minus_green_px", pair(s.red_minus_green.x, s.red_minus_green.y)},
          {"blue_minus_green_px", pair(s.blue_minus_green.x, s.blue_minus_green.y)},
          {"red_sigma_px", pair(s.red_sigma.x, s.red_sigma.y)},
          {"blue_sigma_px", pair(s.blue_sigma.x, s.blue_sigma.y)},
          {"sigma_px", s.sigma()}};
}

json exposure_of(const ClipCheck& c) {
  json j = {{"background_adu", c.summary.background}, {"noise_adu", c.summary.noise}};
  if (c.light.camera) {
    const PhotonTransfer& camera = *c.light.camera;
    j["gain_e_per_adu"] = camera.electrons_per_adu.value;
    j["gain_sigma"] = camera.electrons_per_adu.sigma;
    if (camera.read_noise_known) {
      j["read_noise_e"] = camera.read_noise_e.value;
      j["read_noise_sigma_e"] = camera.read_noise_e.sigma;
    }
  }
  if (c.light.steps.bits() > 0.0) {
    j["bits_in_use"] = c.light.steps.bits();
    j["stretched"] = c.light.steps.stretched();
    j["squeezed"] = c.light.steps.squeezed();
  }
  if (c.light.sky) {
    j["sky_rise_adu"] = c.light.sky->across.value;
    j["sky_rise_sigma_adu"] = c.light.sky->across.sigma;
    if (c.light.sky->towards) {
      j["sky_towards_deg"] = c.light.sky->towards->value.deg();
      j["sky_towards_sigma_deg"] = c.light.sky->towards->sigma.deg();
    }
  }
  if (c.kind == ClipKind::empty) return j;
  j["peak_fraction"] = c.peak_fraction();
  const auto& s = c.summary.saturated;
  j["saturated"] = c.recording.mosaic == Mosaic::mono ? json{{"g", s[1]}} : json{{"r", s[0]}, {"g", s[1]}, {"b", s[2]}};
  if (const auto bits = c.effective_bits()) j["effective_bits"] = *bits;
  return j;
}

json document(const ClipCheck& c) {
  json j = {{"schema", "halfarc.check/1"},
            {"recording", recording_of(c)},
            {"kind", std::string(name(c.kind))},
            {"exposure", exposure_of(c)}};
  j["kind_given"] = c.kind_given;
  if (const auto mid = c.mid()) j["mid_utc"] = mid->iso(3);
  if (c.scale) j["scale"] = {{"arcsec_per_px", c.scale->arcsec_per_px()}, {"source", name_of(c.scale_source)}};
  if (c.disc) j["disc"] = disc_of(*c.disc);
  if (c.motion) j["motion"] = motion_json(c);
  if (c.colours) j["dispersion"] = dispersion_of(*c.colours);
  if (c.air) j["seeing"] = seeing_of(*c.air);
  if (c.donut) j["donut"] = donut_of(*c.donut);
  j.merge_patch(json::parse(geometry_json(c.geometry)));
  if (c.kind != ClipKind::empty) {
    j["sharpness"] = {{"median", c.summary.sharpness},
                      {"best_5_percent", c.summary.best_sharpness},
                      {"spread", c.summary.spread},
                      {"unit", "rms contrast of neighbouring 6-pixel patches"}};
  }
  if (!c.advice.empty()) j["advice"] = json::parse(advice_list_json(c.advice));
  j["words"] = advice_words(c);
  return j;
}

}  // namespace

std::string check_words(const ClipCheck& c) {
  std::string text = title(c);
  if (c.disc) disc_lines(text, c);
  if (c.motion) motion_lines(text, c);
  if (c.air) {
    std::string_view label = "seeing";
    for (const std::string& words : air_lines(*c.air)) line(text, std::exchange(label, ""), words);
  }
  if (c.donut) {
    std::string_view label = "ring";
    for (const std::string& words : donut_lines(*c.donut)) line(text, std::exchange(label, ""), words);
  }
  if (c.colours) colour_lines(text, c);
  for (const LabelledLine& l : geometry_lines(c.geometry)) line(text, l.label, l.words);
  if (c.kind != ClipKind::empty) exposure_lines(text, c);
  std::string_view camera = "camera";
  for (const std::string& words : light_lines(c.light)) line(text, std::exchange(camera, ""), words);
  if (c.kind != ClipKind::empty && c.summary.sharpness > 0.0) {
    line(text, "sharpness",
         fmt::format("the best frames are {:.2f} times as sharp as the usual one",
                     c.summary.best_sharpness / c.summary.sharpness));
  }
  line(text, "clock", clock_words(c));
  for (const std::string& note : c.notes) line(text, "note", note);
  for (const std::string& advice : advice_words(c)) line(text, "do", advice);
  return text;
}

std::string check_json(std::span<const ClipCheck> checks) {
  const auto dump = [](const json& j) { return j.dump(1, ' ', false, json::error_handler_t::replace) + "\n"; };
  if (checks.size() == 1) return dump(document(checks.front()));
  json all = json::array();
  for (const ClipCheck& c : checks) all.push_back(document(c));
  return dump(all);
}

}  // namespace halfarc
