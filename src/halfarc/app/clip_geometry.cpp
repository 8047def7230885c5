#include "halfarc/app/clip_geometry.h"

#include <fmt/format.h>

#include <cmath>

#include "halfarc/sky/field.h"

namespace halfarc {
namespace {

constexpr double kUnlikelyScale = 0.15;  // off the rig's: rather the wrong target or date
constexpr double kMarkings = 0.002;      // of the diameter: what markings may pull the disc's centre by

// The disc with its known shape, and the scale from it.
void read_disc(const GeometryAsked& asked, const GeometryFrom& from, ClipGeometry& g) {
  if (!g.view || from.mean == nullptr || g.view->body == sky::Body::moon) return;
  KnownDiscStart start = from.free_fit != nullptr && !g.view->shape.ring
                             ? start_from(*from.free_fit)
                             : start_from_moments(from.mean->green(), g.view->shape, from.guess);
  start.mirrored = asked.mirrored;
  start.optics = from.optics;
  if (from.optics && from.colours)
    start.smear = (from.colours->blue_minus_green - from.colours->red_minus_green) * from.optics->smear_share;
  const auto disc = fit_known_disc(from.mean->green(), g.view->shape, start, from.threads);
  if (!disc || disc->doubt) {
    g.notes.push_back("The disc was not measured as the target's: " + (disc ? *disc->doubt : disc.error().what) + ".");
    return;
  }
  const double scale = g.view->equatorial_diameter.arcsec() / disc->diameter.value;
  if (from.scale && std::abs(scale / from.scale->arcsec_per_px() - 1.0) > kUnlikelyScale) {
    g.notes.push_back(
        fmt::format("By its ephemeris the disc makes {:.3f}\" a pixel, far from the {:.3f}\" expected: it was "
                    "not used. Check --target, --at and the rig.",
                    scale, from.scale->arcsec_per_px()));
    return;
  }
  g.disc = *disc;
  g.scale = MeasuredScale{{scale, scale * disc->diameter.sigma / disc->diameter.value}, ScaleSource::ephemeris};
}

// Two moons and more beside the disc give scale, angle and whether the picture is mirrored at once.
void read_moons(const GeometryAsked& asked, const GeometryFrom& from, ClipGeometry& g) {
  if (!g.disc || !g.scale || from.mean == nullptr || from.spots.size() < 2 || g.view->moons.size() < 2) return;
  const PixelOffset centre = g.disc->centre() - from.mean->centroid;
  std::vector<SpotPlace> spots;
  for (const Spot& s : from.spots) spots.push_back({s.at - centre, std::max(s.sigma.x, s.sigma.y)});
  const double centre_sigma =
      std::hypot(std::max(g.disc->x.sigma, g.disc->y.sigma), kMarkings * g.disc->diameter.value);
  const auto match = match_moons(spots, g.view->moons, {g.scale->arcsec_per_px, centre_sigma, asked.mirrored});
  if (!match) return;
  g.moons = *match;
  if (match->arcsec_per_px.sigma < g.scale->arcsec_per_px.sigma)
    g.scale = MeasuredScale{match->arcsec_per_px, ScaleSource::moons};
  const Angle zenith = zenith_from(match->north.value, Angle(), g.view->parallactic, match->mirrored);
  g.camera = CameraAngle{{zenith, match->north.sigma}, true, match->mirrored, match->mirror_known, AngleSource::moons};
}

// With the mount stopped the sky carries the target westwards at a known rate.
void read_stopped(const GeometryAsked& asked, const GeometryFrom& from, ClipGeometry& g) {
  if (!asked.mount_stopped) return;
  if (!g.view || !from.motion) {
    g.notes.push_back("A drift with the mount stopped needs --target, for its declination, and times in the clip.");
    return;
  }
  const Motion& m = *from.motion;
  const PixelOffset drift{m.drift_x.value, m.drift_y.value};
  const double length = drift.length();
  const double along = std::hypot(drift.x * m.drift_x.sigma, drift.y * m.drift_y.sigma) / length;
  const double aside = std::hypot(drift.y * m.drift_x.sigma, drift.x * m.drift_y.sigma) / length;
  if (!(length > 5.0 * std::hypot(along, aside))) {
    g.notes.push_back("The target hardly drifts: was the mount stopped?");
    return;
  }
  const double scale = g.view->sky_rate / length;
  if (!g.scale || g.scale->arcsec_per_px.sigma / g.scale->arcsec_per_px.value > along / length)
    g.scale = MeasuredScale{{scale, scale * along / length}, ScaleSource::drift};
  const Angle west = zenith_from(direction_of(drift), Angle::deg(270.0), g.view->parallactic, asked.mirrored);
  g.camera = CameraAngle{{west, Angle::rad(aside / length)}, true, asked.mirrored, false, AngleSource::drift};
}

void read_key(const GeometryAsked& asked, const GeometryFrom& from, ClipGeometry& g) {
  if (!asked.key || g.camera) return;
  g.nudge = find_nudge(from.index, from.times);
  if (!g.nudge) {
    g.notes.push_back("No key press shows in the track: press one key for a second in the middle of the clip.");
    return;
  }
  g.camera =
      CameraAngle{{zenith_from_key(g.nudge->direction.value, *asked.key, asked.mirrored), g.nudge->direction.sigma},
                  true,
                  asked.mirrored,
                  false,
                  AngleSource::nudge};
}

void read_pole(const GeometryAsked& asked, ClipGeometry& g) {
  if (!g.disc || !g.disc->pole || (g.camera && g.camera->source == AngleSource::moons)) return;
  const Measured<Angle> pole = *g.disc->pole;
  Angle zenith = zenith_from(pole.value, g.view->pole, g.view->parallactic, asked.mirrored);
  // A key or a drift tells which end is which when the disc does not; the surer of the two angles stays.
  if (g.camera) {
    const bool turned = std::abs(wrap_signed(zenith - g.camera->zenith.value).deg()) > 90.0;
    if (turned && !g.disc->half_turn_known) zenith = wrap_positive(zenith + Angle::deg(180.0));
    if (g.camera->zenith.sigma <= pole.sigma) return;
  }
  const bool sure = g.disc->half_turn_known || g.camera.has_value();
  g.camera = CameraAngle{{zenith, pole.sigma}, sure, asked.mirrored, false, AngleSource::disc};
}

}  // namespace

ClipGeometry read_geometry(const GeometryAsked& asked, const GeometryFrom& from) {
  ClipGeometry g;
  if (asked.target && asked.site) {
    const std::optional<Utc> at = asked.at ? asked.at : from.mid;
    if (at) {
      g.view = target_view(*asked.target, *asked.site, *at);
    } else {
      g.notes.push_back("The clip has no times: say when it was taken (--at).");
    }
  }
  read_disc(asked, from, g);
  read_moons(asked, from, g);
  read_stopped(asked, from, g);
  read_key(asked, from, g);
  read_pole(asked, g);

  const std::optional<PlateScale> scale =
      g.scale ? PlateScale::arcsec_per_px(g.scale->arcsec_per_px.value) : from.scale;
  const bool mirrored = g.camera ? g.camera->mirrored : asked.mirrored;
  if (g.camera && g.view) g.north = on_image(Angle(), g.camera->zenith.value, g.view->parallactic, mirrored);
  if (from.motion && scale) {
    g.wave = find_wave(from.index, from.times, *from.motion);
    g.cause = cause_of(*from.motion, *scale, g.view ? g.view->sky_rate : 0.0, g.wave);
    if (g.camera && g.camera->half_turn_known) g.drift = split_drift(*from.motion, *scale, g.camera->zenith, mirrored);
  }
  if (from.colours && scale && g.camera && g.camera->half_turn_known) {
    g.colours = colours_on_sky(*from.colours, *scale, g.camera->zenith);
    if (asked.rig && asked.train && g.view && g.view->airmass)
      g.prisms = read_prisms(*g.colours, *asked.rig, *asked.train, g.view->body, *asked.site, g.view->altitude,
                             *g.view->airmass);
  }
  return g;
}

}  // namespace halfarc
