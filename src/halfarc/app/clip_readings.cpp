#include "halfarc/app/clip_readings.h"

#include <algorithm>

namespace halfarc {
namespace {

using Rows = std::vector<ReadingRow>;

void add(Rows& rows, const char* name, const Measured<double>& m, const char* unit, double times = 1.0) {
  rows.push_back({name, m.value * times, m.sigma * times, unit});
}

void add(Rows& rows, const char* name, double value, const char* unit) {
  rows.push_back({name, value, std::nullopt, unit});
}

void add_motion(Rows& rows, const Motion& motion, const std::optional<PlateScale>& scale) {
  const double per_px = scale ? scale->arcsec_per_px() : 1.0;
  const char* rate = scale ? "arcsec/s" : "px/s";
  const char* length = scale ? "arcsec" : "px";
  add(rows, "drift_x", motion.drift_x, rate, per_px);
  add(rows, "drift_y", motion.drift_y, rate, per_px);
  add(rows, "rms_x", motion.rms_x, length, per_px);
  add(rows, "rms_y", motion.rms_y, length, per_px);
}

void add_scale(Rows& rows, const std::optional<MeasuredScale>& scale) {
  if (scale) add(rows, "scale", scale->arcsec_per_px, "arcsec/px");
}

void add_camera(Rows& rows, const std::optional<CameraAngle>& camera) {
  if (!camera || !camera->half_turn_known) return;
  add(rows, "camera_angle", {camera->zenith.value.deg(), camera->zenith.sigma.deg()}, "deg");
}

void add_colours(Rows& rows, const ColourShift& colours) {
  add(rows, "red_green_x", {colours.red_minus_green.x, colours.red_sigma.x}, "px");
  add(rows, "red_green_y", {colours.red_minus_green.y, colours.red_sigma.y}, "px");
  add(rows, "blue_green_x", {colours.blue_minus_green.x, colours.blue_sigma.x}, "px");
  add(rows, "blue_green_y", {colours.blue_minus_green.y, colours.blue_sigma.y}, "px");
}

void add_donut(Rows& rows, const Donut& donut) {
  if (donut.shape) {
    add(rows, "hole_x", donut.shape->hole_x, "");
    add(rows, "hole_y", donut.shape->hole_y, "");
  }
  if (!donut.optics) return;
  const StarRing& ring = *donut.optics;
  add(rows, "coma_x", ring.coma_x, "waves");
  add(rows, "coma_y", ring.coma_y, "waves");
  add(rows, "ring_defocus", ring.defocus, "waves");
  add(rows, "astigmatism", ring.astigmatism, "waves");
  add(rows, "astigmatism_45", ring.astigmatism_45, "waves");
  if (ring.plume) add(rows, "plume", *ring.plume, "waves");
  add(rows, "r0", {ring.r0.value.cm(), ring.r0.sigma.cm()}, "cm");
}

void add_air(Rows& rows, const ClipAir& air) {
  add(rows, "seeing_fwhm", {air.seeing.fwhm.value.arcsec(), air.seeing.fwhm.sigma.arcsec()}, "arcsec");
  add(rows, "r0_500", {air.seeing.r0.value.cm(), air.seeing.r0.sigma.cm()}, "cm");
  if (air.seeing.coherence)
    add(rows, "coherence", {air.seeing.coherence->value.ms(), air.seeing.coherence->sigma.ms()}, "ms");
  if (air.zenith)
    add(rows, "seeing_zenith", {air.zenith->fwhm.value.arcsec(), air.zenith->fwhm.sigma.arcsec()}, "arcsec");
}

void add_brightness(Rows& rows, const ClipCheck& check) {
  add(rows, "sky", check.summary.background, "ADU");
  add(rows, "noise", check.summary.noise, "ADU");
  if (check.kind == ClipKind::empty) return;
  const auto& saturated = check.summary.saturated;
  add(rows, "peak_share", check.peak_fraction(), "");
  add(rows, "saturated", *std::max_element(saturated.begin(), saturated.end()), "");
  add(rows, "sharpness", check.summary.sharpness, "");
  if (check.fading) add(rows, "light_per_hour", check.fading->per_hour, "1/h");
}

}  // namespace

Rows readings_of(const ClipCheck& check) {
  Rows rows;
  if (check.disc) {
    add(rows, "disc_diameter", check.disc->equatorial_diameter, "px");
    add(rows, "flattening", check.disc->flattening, "");
  }
  if (check.motion) add_motion(rows, *check.motion, check.scale);
  add_scale(rows, check.geometry.scale);
  add_camera(rows, check.geometry.camera);
  if (check.colours) add_colours(rows, *check.colours);
  if (check.donut) add_donut(rows, *check.donut);
  if (check.air) add_air(rows, *check.air);
  if (check.clock) {
    add(rows, "frames_per_s", check.clock->frames_per_second, "1/s");
    add(rows, "dropped", static_cast<double>(check.clock->dropped), "");
  }
  add_brightness(rows, check);
  return rows;
}

Rows readings_of(const FoundFocus& found, std::size_t clip) {
  Rows rows;
  add(rows, "focus_position", found.asks[clip].position, "turn");
  add(rows, "focus_contrast", found.series.points[clip].contrast, "");
  if (clip + 1 != found.asks.size() || !found.series.trustworthy()) return rows;
  add(rows, "focus_left", found.to_turn(), "turn");
  if (found.arrived() != 0.0) add(rows, "knob_arrived", found.arrived(), "");
  add(rows, "waves_per_turn", found.series.waves_per_turn, "waves/turn");
  if (found.series.backlash) add(rows, "backlash", *found.series.backlash, "turn");
  return rows;
}

Rows readings_of(const MadeImage& made) {
  Rows rows;
  add(rows, "d_over_r0", made.blur.d_over_r0, "");
  add(rows, "resolved", {made.resolved[1].value.arcsec(), made.resolved[1].sigma.arcsec()}, "arcsec");
  return rows;
}

}  // namespace halfarc
