#include "halfarc/app/check_document.h"

#include <nlohmann/json.hpp>

#include <algorithm>

#include "halfarc/air/turbulence.h"
#include "halfarc/app/check_words.h"
#include "halfarc/app/clip_advice.h"
#include "halfarc/app/donut_words.h"
#include "halfarc/app/geometry_words.h"

namespace halfarc {
namespace {

using nlohmann::json;

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
    if (r.plume) {
      j["plume_waves"] = r.plume->value;
      j["plume_sigma_waves"] = r.plume->sigma;
    }
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

json dust_of(const Shadows& shadows) {
  json found = json::array();
  for (const Shadow& s : shadows.found)
    found.push_back({{"x_px", s.place.x},
                     {"y_px", s.place.y},
                     {"diameter_px", s.diameter.value},
                     {"diameter_sigma_px", s.diameter.sigma},
                     {"loss", s.loss.value},
                     {"loss_sigma", s.loss.sigma}});
  return {{"shadows", found}, {"faintest_loss", shadows.plain_loss}};
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
  if (c.light.shadows) j["dust"] = dust_of(*c.light.shadows);
  if (c.kind == ClipKind::empty) return j;
  j["peak_fraction"] = c.peak_fraction();
  const auto& s = c.summary.saturated;
  j["saturated"] = c.recording.mosaic == Mosaic::mono ? json{{"g", s[1]}} : json{{"r", s[0]}, {"g", s[1]}, {"b", s[2]}};
  if (const auto bits = c.effective_bits()) j["effective_bits"] = *bits;
  if (c.fading) {
    j["light_per_hour"] = c.fading->per_hour.value;
    j["light_per_hour_sigma"] = c.fading->per_hour.sigma;
  }
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
  j["words"] = what_to_do(c);
  return j;
}

}  // namespace

std::string check_json(std::span<const ClipCheck> checks) {
  const auto dump = [](const json& j) { return j.dump(1, ' ', false, json::error_handler_t::replace) + "\n"; };
  if (checks.size() == 1) return dump(document(checks.front()));
  json all = json::array();
  for (const ClipCheck& c : checks) all.push_back(document(c));
  return dump(all);
}

}  // namespace halfarc
