#include "halfarc/simulate/shot.h"

#include <cmath>
#include <initializer_list>
#include <string_view>
#include <utility>

#include "halfarc/optics/sampled_pupil.h"
#include "halfarc/simulate/scene.h"

namespace halfarc {
namespace {

Error wrong(std::string what, std::string key) { return bad_input(std::move(what), std::move(key)); }

constexpr double kMost = 1e9;

// A number with the bounds that it must keep, and its key in a shot file.
struct Bound {
  double value, lowest, highest;
  std::string_view key;
};

Result<void> keep(std::initializer_list<Bound> bounds) {
  for (const Bound& b : bounds) {
    if (b.value >= b.lowest && b.value <= b.highest) continue;
    const auto number = [](double v) {
      std::string text = std::to_string(v);
      text.erase(text.find_last_not_of('0') + 1);
      if (text.back() == '.') text.pop_back();
      return text;
    };
    return wrong("must be " + number(b.lowest) + " to " + number(b.highest), std::string(b.key));
  }
  return {};
}

double size(const SkyOffset& o) { return std::hypot(o.x.arcsec(), o.y.arcsec()); }

constexpr double kFar = 600.0;   // arcsec: no fault moves an image farther
constexpr double kBrief = 1e-3;  // s

Result<void> check_mount(const Pointing& p) {
  HALFARC_CHECK(keep({{p.field_rotation.deg_per_hour(), -3600.0, 3600.0, "pointing.field_rotation_deg_per_hour"},
                      {size(p.turned_about), 0.0, 36000.0, "pointing.turned_about_arcsec"},
                      {size(p.periodic.amplitude), 0.0, kFar, "pointing.periodic.amplitude_arcsec"},
                      {p.periodic.period.s(), kBrief, kMost, "pointing.periodic.period_s"},
                      {p.periodic.phase, -kMost, kMost, "pointing.periodic.phase_turns"},
                      {size(p.wind.rms), 0.0, kFar, "pointing.wind.rms_arcsec"},
                      {p.wind.gusts_per_s, 1e-3, 1e3, "pointing.wind.gusts_per_s"},
                      {p.wind.cycles_per_s, 0.01, 1e3, "pointing.wind.cycles_per_s"},
                      {p.wind.quality, 0.1, 100.0, "pointing.wind.quality"}}));
  for (const KeyPress& press : p.keys) {
    HALFARC_CHECK(keep({{press.at.s(), -kMost, kMost, "pointing.key.at_s"},
                        {press.lasting.s(), kBrief, kMost, "pointing.key.lasting_s"},
                        {size(press.by), 0.0, kFar, "pointing.key.by_arcsec"}}));
  }
  for (const Nudge& nudge : p.nudges) {
    HALFARC_CHECK(keep({{nudge.at.s(), -kMost, kMost, "pointing.nudge.at_s"},
                        {size(nudge.peak), 0.0, kFar, "pointing.nudge.peak_arcsec"},
                        {nudge.cycles_per_s, 0.01, 1e3, "pointing.nudge.cycles_per_s"},
                        {nudge.settling.s(), kBrief, kMost, "pointing.nudge.settling_s"}}));
  }
  return {};
}

Result<void> check_telescope(const ShotSpec& shot) {
  const OpticsError most = largest_change(shot.optics_change, length_of(shot.timing));
  HALFARC_CHECK(keep({{most.defocus_waves, 0.0, 40.0, "telescope.defocus_waves_per_min with telescope.move"},
                      {most.coma_x_waves, 0.0, 10.0, "telescope.coma_waves_per_min with telescope.move"},
                      {most.coma_y_waves, 0.0, 10.0, "telescope.coma_waves_per_min with telescope.move"},
                      {shot.plume.rms_waves, 0.0, 3.0, "telescope.plume.rms_waves"},
                      {shot.plume.lasting.s(), kBrief, kMost, "telescope.plume.lasting_s"},
                      {shot.plume.up.deg(), -720.0, 720.0, "telescope.plume.up_deg"},
                      {shot.dew.loss, 0.0, 1.0, "telescope.dew.loss"},
                      {shot.dew.scattered, 0.0, 1.0, "telescope.dew.scattered"},
                      {shot.dew.halo.arcsec(), 1.0, 36000.0, "telescope.dew.halo_arcsec"},
                      {shot.dew.begins.s(), -kMost, kMost, "telescope.dew.begins_s"},
                      {shot.dew.growing.s(), kBrief, kMost, "telescope.dew.growing_s"}}));
  for (const OpticsMove& move : shot.optics_change.moves) {
    HALFARC_CHECK(keep({{move.at.s(), -kMost, kMost, "telescope.move.at_s"},
                        {move.lasting.s(), kBrief, kMost, "telescope.move.lasting_s"},
                        {size(move.image), 0.0, kFar, "telescope.move.image_arcsec"}}));
  }
  return {};
}

Result<void> check_camera(const ShotSpec& shot) {
  HALFARC_CHECK(keep({{shot.blemishes.hot_per_million, 0.0, 1e5, "camera.hot_per_million"},
                      {shot.blemishes.hot_electrons, 0.0, 1e7, "camera.hot_electrons"},
                      {shot.timing.clock.dropped, 0.0, 0.9, "timing.dropped"},
                      {shot.timing.clock.lost_in_a_row, 1.0, 1e6, "timing.lost_in_a_row"},
                      {shot.timing.clock.jitter.ms(), 0.0, 1e6, "timing.clock_jitter_ms"}}));
  for (const DustShadow& shadow : shot.blemishes.dust) {
    HALFARC_CHECK(keep({{shadow.place.x, -1e5, 1e5, "camera.dust.place_px"},
                        {shadow.place.y, -1e5, 1e5, "camera.dust.place_px"},
                        {shadow.diameter_px, 0.5, 1e5, "camera.dust.diameter_px"},
                        {shadow.loss, 0.0, 1.0, "camera.dust.loss"}}));
  }
  return {};
}

Result<void> check_air(const AirSpec& air) {
  HALFARC_CHECK(keep({{air.patch.arcsec(), 0.0, 36000.0, "air.patch_arcsec"},
                      {air.spells.spread, 0.0, 1.0, "air.spells_spread"},
                      {air.spells.lasting.s(), 0.01, kMost, "air.spells_lasting_s"}}));
  for (const Layer& layer : air.layers) {
    HALFARC_CHECK(keep({{layer.pulses.every.s(), 0.1, kMost, "air.layer.pulse_every_s"},
                        {layer.pulses.duty, 0.01, 1.0, "air.layer.pulse_duty"}}));
  }
  return {};
}

Result<void> check_body(const BodySpec& body) {
  HALFARC_CHECK(keep({{body.spin.deg_per_hour(), -3600.0, 3600.0, "body.spin_deg_per_hour"},
                      {body.weather_age.days(), -1e5, 1e5, "body.weather_days"},
                      {body.clouds, 0.0, 1.0, "body.clouds"},
                      {body.sun_radius.arcsec(), 0.0, 36000.0, "body.sun_radius_arcsec"}}));
  for (const Moon& moon : body.moons) {
    HALFARC_CHECK(keep({{size(moon.place), 0.0, 36000.0, "body.moon.place_arcsec"},
                        {size(moon.per_hour), 0.0, 36000.0, "body.moon.arcsec_per_hour"},
                        {moon.towards_us, -1e4, 1e4, "body.moon.towards_us_radii"},
                        {moon.diameter.arcsec(), 1e-3, kFar, "body.moon.diameter_arcsec"}}));
    for (const double r : moon.reflectance) HALFARC_CHECK(keep({{r, 0.0, 2.0, "body.moon.reflectance"}}));
  }
  return {};
}

}  // namespace

Duration length_of(const Timing& timing) {
  return timing.interval * static_cast<double>(timing.frames) + timing.exposure;
}

Result<void> check(const ShotSpec& shot) {
  const auto positive = [](double v) { return v > 0.0 && std::isfinite(v); };
  if (shot.width < 16 || shot.width > 8192) return wrong("must be 16 to 8192 pixels", "camera.width");
  if (shot.height < 16 || shot.height > 8192) return wrong("must be 16 to 8192 pixels", "camera.height");
  if (shot.sensor.bits < 8 || shot.sensor.bits > 16) return wrong("must be 8 to 16", "camera.bits");
  if (!positive(shot.sensor.electrons_per_adu)) return wrong("must be above 0", "camera.electrons_per_adu");
  if (!(shot.sensor.read_noise_e >= 0.0)) return wrong("must not be negative", "camera.read_noise_e");
  if (!(shot.sensor.offset_adu >= 0.0)) return wrong("must not be negative", "camera.offset_adu");
  if (!positive(shot.sensor.full_well_e)) return wrong("must be above 0", "camera.full_well_e");
  const double arcsec = shot.scale.arcsec_per_px();
  if (!(arcsec > 0.01 && arcsec < 2.0)) {
    return {bad_input("the scale comes out as " + std::to_string(arcsec) +
                          " arcseconds per pixel; 0.01 to 2 can be "
                          "simulated",
                      "telescope.focal_length_mm, telescope.amplifier, camera.pixel_um")};
  }
  const Pupil& pupil = shot.instrument.pupil;
  if (!(pupil.diameter.mm() >= 20.0 && pupil.diameter.mm() <= 2000.0)) {
    return wrong("must be 20 to 2000 mm", "telescope.diameter_mm");
  }
  if (!(pupil.obstruction >= 0.0 && pupil.obstruction <= 0.8)) {
    return wrong("must be 0 to 0.8 of the diameter", "telescope.obstruction");
  }
  if (critical_pitch(pupil, shot.instrument.wavelengths[2]) * 4.0 < shot.scale.angle(1.0)) {
    return wrong("the pixels are more than 4 times coarser than the finest detail",
                 "telescope.focal_length_mm, camera.pixel_um");
  }
  const auto& defocus = shot.instrument;
  if (!(std::abs(defocus.defocus_waves) <= 40.0)) return wrong("must be -40 to 40 waves", "telescope.defocus_waves");
  if (!(std::hypot(defocus.coma_x_waves, defocus.coma_y_waves) <= 10.0)) {
    return wrong("must be at most 10 waves long", "telescope.coma_waves");
  }
  for (const Length w : shot.instrument.wavelengths) {
    if (!(w.nm() >= 300.0 && w.nm() <= 1100.0)) return wrong("must be 300 to 1100 nm", "camera.wavelengths_nm");
  }
  if (shot.body.kind != BodyKind::star) {
    if (!positive(shot.body.equatorial_diameter.arcsec())) return wrong("must be above 0", "body.diameter_arcsec");
    const double largest_px = shot.body.kind == BodyKind::cratered ? 65536.0 : 4096.0;
    if (shot.scale.pixels(reach(shot.body)) > largest_px)
      return wrong("too large for the scale", "body.diameter_arcsec");
  }
  if (!(shot.body.flattening >= 0.0 && shot.body.flattening < 0.5)) return wrong("must be 0 to 0.5", "body.flattening");
  const BodySpec& body = shot.body;
  for (const auto& [angle, key] :
       {std::pair{body.pole_angle, "body.pole_angle_deg"}, std::pair{body.sub_observer_latitude, "body.latitude_deg"},
        std::pair{body.central_meridian, "body.longitude_deg"}, std::pair{body.phase_angle, "body.phase_angle_deg"},
        std::pair{body.sun_angle, "body.sun_angle_deg"}}) {
    if (!(std::abs(angle.deg()) <= 720.0)) return wrong("must be an angle in degrees", key);
  }
  // What moves the picture may move it out of the frame, but not out of the world.
  const double longest_px = 2048.0;
  const auto moves = [&](const SkyOffset& o, double times) {
    return shot.scale.pixels(abs(o.x)) * times <= longest_px && shot.scale.pixels(abs(o.y)) * times <= longest_px;
  };
  // The centre of a globe that fills the frame may lie far outside.
  if (body.kind != BodyKind::cratered && !moves(body.centre, 1.0)) {
    return wrong("is more than 2048 pixels", "body.centre_arcsec");
  }
  if (!moves(body.centre, 1.0 / 16.0)) return wrong("is more than 32768 pixels", "body.centre_arcsec");
  for (const SkyOffset& o : shot.dispersion) {
    if (!moves(o, 1.0)) return wrong("is more than 2048 pixels", "dispersion");
  }
  constexpr double kMostSmear = 20.0;  // arcsec: more than the air does at the horizon
  HALFARC_CHECK(keep({{size(shot.instrument.smear[0]), 0.0, kMostSmear, "dispersion.red_smear_arcsec"},
                      {size(shot.instrument.smear[1]), 0.0, kMostSmear, "dispersion.green_smear_arcsec"},
                      {size(shot.instrument.smear[2]), 0.0, kMostSmear, "dispersion.blue_smear_arcsec"}}));
  if (!(shot.pointing.jitter.rad() >= 0.0 && moves({shot.pointing.jitter, Angle::rad(0.0)}, 1.0))) {
    return wrong("must be 0 to 2048 pixels", "pointing.jitter_arcsec");
  }
  if (!positive(shot.air.turbulence.r0.m())) return wrong("must be above 0", "air.r0_cm");
  if (!(shot.air.turbulence.outer_scale.m() > 0.0)) return wrong("must be above 0", "air.outer_scale_m");
  for (const Layer& layer : shot.air.layers) {
    if (!positive(layer.weight)) return wrong("must be above 0", "air.layer.weight");
    if (!(std::abs(layer.wind.m_per_s()) <= 150.0)) return wrong("must be -150 to 150", "air.layer.wind_m_per_s");
    if (!(std::abs(layer.direction.deg()) <= 720.0)) return wrong("must be in degrees", "air.layer.direction_deg");
    if (!(layer.height.km() >= 0.0 && layer.height.km() <= 100.0)) {
      return wrong("must be 0 to 100000", "air.layer.height_m");
    }
  }
  if (shot.timing.frames < 1) return wrong("must be at least 1", "timing.frames");
  if (!positive(shot.timing.interval.s())) return wrong("must be above 0", "timing.frames_per_s");
  if (!positive(shot.timing.exposure.s())) return wrong("must be above 0", "timing.exposure_ms");
  if (shot.timing.exposure > shot.timing.interval) {
    return wrong("is longer than the time from frame to frame", "timing.exposure_ms");
  }
  if (shot.timing.parts < 1 || shot.timing.parts > 64) return wrong("must be 1 to 64", "timing.parts");
  if (!moves(shot.pointing.drift_per_second, length_of(shot.timing).s())) {
    return wrong("moves the picture by more than 2048 pixels in the whole recording", "pointing.drift_arcsec_per_s");
  }
  for (const double e : shot.brightness.electrons) {
    if (!(e >= 0.0 && e < 1e7)) return wrong("must be 0 to 1e7", "light.electrons");
  }
  if (!(shot.brightness.sky_electrons >= 0.0)) return wrong("must not be negative", "light.sky_electrons");
  HALFARC_CHECK(check_mount(shot.pointing));
  double farthest = 2.0 * size(shot.pointing.periodic.amplitude) + 4.0 * size(shot.pointing.wind.rms);
  for (const KeyPress& press : shot.pointing.keys) farthest += size(press.by);
  for (const Nudge& nudge : shot.pointing.nudges) farthest += size(nudge.peak);
  for (const OpticsMove& move : shot.optics_change.moves) farthest += size(move.image);
  if (!(shot.scale.pixels(Angle::arcsec(farthest)) <= longest_px)) {
    return wrong("moves the picture by more than 2048 pixels in all", "pointing");
  }
  HALFARC_CHECK(check_telescope(shot));
  HALFARC_CHECK(check_camera(shot));
  HALFARC_CHECK(check_air(shot.air));
  return check_body(shot.body);
}

}  // namespace halfarc
