#include "clips.h"

#include <fmt/format.h>

#include <cmath>

#include "halfarc/app/home.h"
#include "halfarc/app/target_light.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/random.h"
#include "halfarc/optics/prism_colour.h"
#include "halfarc/sky/refraction.h"

namespace halfarc::accuracy {
namespace {

// Long-exposure width in radians is 0.976 lambda / r0. Source: [Fried1966].
Length r0_for(Angle seeing) { return Length::m(0.97586 * kSeeingWavelength.m() / seeing.rad()); }

}  // namespace

ShotSpec clip_of(BodyKind body, Angle seeing, Duration length, std::uint64_t seed) {
  Rng rng = Rng(seed).child("accuracy clip");
  ShotSpec shot;
  shot.name = "clip";
  shot.seed = seed;
  shot.body.kind = body;
  shot.body.equatorial_diameter = Angle::arcsec(body == BodyKind::ruddy_disc ? 13.6 : 43.0);
  shot.body.flattening = body == BodyKind::ruddy_disc ? 0.006 : 0.065;
  shot.body.pole_angle = Angle::deg(40.0 * (rng.uniform() - 0.5));
  shot.body.central_meridian = Angle::deg(360.0 * rng.uniform());
  shot.body.surface_seed = seed;
  shot.body.centre = {Angle::arcsec(rng.uniform() - 0.5), Angle::arcsec(rng.uniform() - 0.5)};
  shot.air.turbulence.r0 = r0_for(seeing);
  for (Layer& layer : shot.air.layers) layer.direction = Angle::deg(360.0 * rng.uniform());
  shot.pointing.jitter = Angle::arcsec(0.05);
  shot.pointing.drift_per_second = {Angle::arcsec(0.06 * (rng.uniform() - 0.5)),
                                    Angle::arcsec(0.06 * (rng.uniform() - 0.5))};
  shot.timing.start = Utc::civil(2026, 12, 4, 21, 0, 0.0).value();
  shot.timing.interval = Duration::ms(20.0);
  shot.timing.exposure = Duration::ms(8.0);
  shot.timing.frames = static_cast<std::size_t>(std::lround(length / shot.timing.interval));
  shot.sensor.electrons_per_adu = 0.8;
  fit_frame(shot);
  return shot;
}

void stand(ShotSpec& shot, const Stand& s) {
  for (double& electrons : shot.brightness.electrons) electrons *= s.light;
  if (s.altitude >= 90.0) return;
  const Angle altitude = Angle::deg(s.altitude);
  const double airmass = sky::airmass(altitude);
  shot.air.turbulence.r0 = r0_through(shot.air.turbulence.r0, airmass);
  for (Layer& layer : shot.air.layers) layer.height = layer.height * airmass;
  const Rig rig = example_rig();
  const sky::Body body = shot.body.kind == BodyKind::ruddy_disc ? sky::Body::mars : sky::Body::jupiter;
  const Length height = Length::m(0.0);
  const auto overhead = plane_weights(rig, body, 1.0, height), planes = plane_weights(rig, body, airmass, height);
  const SpectralCurve air = lift_arcsec(sky::usual_weather(height), altitude);
  const PixelOffset up = step_towards(Angle::deg(360.0 * Rng(shot.seed).child("zenith").uniform()));
  const Angle green = spread_of(air, planes[1]).centre;
  for (std::size_t c = 0; c < 3; ++c) {
    const Spread spread = spread_of(air, planes[c]);
    const Angle lifted = spread.centre - green;
    shot.dispersion[c].x = shot.dispersion[c].x + lifted * up.x;
    shot.dispersion[c].y = shot.dispersion[c].y + lifted * up.y;
    shot.instrument.smear[c] = {spread.width * up.x, spread.width * up.y};
    shot.brightness.electrons[c] *= area_nm(planes[c]) / area_nm(overhead[c]);
  }
}

double seeing_growth(const Stand& s) {
  const double airmass = s.altitude >= 90.0 ? 1.0 : sky::airmass(Angle::deg(s.altitude));
  return Length::m(1.0) / r0_through(Length::m(1.0), airmass);
}

std::string words(const Stand& s) {
  std::string text;
  if (s.altitude < 90.0) text += fmt::format(", {:g}° up", s.altitude);
  if (s.light != 1.0) text += fmt::format(", {:g} of the light", s.light);
  return text;
}

std::string words(const ImageConditions& c) {
  return fmt::format("{} frames, {:.1f}\" seeing{}{}", c.frames, c.seeing, words(c.stand),
                     c.patch > 0.0 ? ", air that differs over the field" : "");
}

void fit_frame(ShotSpec& shot) {
  const double across = shot.body.kind == BodyKind::star ? 0.0 : shot.scale.pixels(shot.body.equatorial_diameter);
  shot.width = shot.height = 16 * static_cast<int>(std::ceil((across + 90.0) / 16.0));
}

ClipOptics scenario_optics(const ShotSpec& shot) {
  return {shot.instrument.pupil, shot.instrument.wavelengths[1], shot.scale};
}

ShotSpec clip_of_target(sky::Body target, Angle seeing, Duration length, std::uint64_t seed) {
  ShotSpec shot = clip_of(invention_for(target), seeing, length, seed);
  WhereRequest request;
  request.body = target;
  request.site = example_site().site;
  request.utc = Utc::parse("2026-11-26T03:30:00Z").value();
  const Angle zenith = Angle::deg(Rng(seed).child("zenith").uniform(0.0, 360.0));
  const SkyOffset centre = shot.body.centre;
  shot.body = body_of_date(where_body(request).value(), zenith, seed).value();
  shot.body.centre = centre;
  shot.timing.start = request.utc;
  fit_frame(shot);
  if (target == sky::Body::saturn) shot.width = shot.height = 2 * shot.width;
  return shot;
}

Result<ClipCheck> simulate_and_check(const ShotSpec& shot, const std::filesystem::path& folder,
                                     std::optional<sky::Body> target) {
  Silent progress;
  const std::filesystem::path clip = folder / "clip.fits";
  HALFARC_CHECK(simulate_to_files(shot, clip, Threads{1}, progress));
  CheckOptions options;
  options.scale = shot.scale;
  options.optics = scenario_optics(shot);
  options.threads = Threads{1};
  if (target) {
    options.geometry.target = target;
    options.geometry.site = example_site().site;
  }
  return check_clip(clip, options, progress);
}

ShotSpec run_of(const ImageConditions& c, std::uint64_t seed) {
  ShotSpec shot = clip_of(c.body, Angle::arcsec(c.seeing), Duration::s(12.0), seed);
  shot.timing.interval = Duration::s(12.0 / static_cast<double>(c.frames));
  shot.timing.exposure = shot.timing.interval * 0.9;
  shot.timing.frames = c.frames;
  shot.air.patch = Angle::arcsec(c.patch);
  stand(shot, c.stand);
  return shot;
}

Result<SimulatedImage> simulate_and_make(const ImageConditions& conditions, std::uint64_t seed,
                                         const std::filesystem::path& folder) {
  Silent progress;
  SimulatedImage made{run_of(conditions, seed), {}, {}};
  HALFARC_TRY(made.files, simulate_to_files(made.shot, folder / "run.fits", Threads{1}, progress));
  MakeOptions options;
  options.runs = {made.files.recording};
  options.output = folder / "image.fits";
  options.aperture = {made.shot.instrument.pupil, made.shot.scale};
  options.scale_source = ScaleSource::given;
  options.threads = Threads{1};
  HALFARC_TRY(made.image, make_image(options, progress));
  return made;
}

View<const float> SimulatedImage::truth(std::size_t plane) const {
  const Window& w = image.window;
  return files.truth.perfect[plane].view().part(w.x, w.y, w.width, w.height);
}

PlaneComparison SimulatedImage::compare(std::size_t plane) const {
  const Window& w = image.window;
  const Angle finest = cut_off(shot.instrument.pupil, shot.instrument.wavelengths[plane]).period();
  return compare_plane(image.picture.restored[plane], truth(plane),
                       files.truth.scene[plane].view().part(w.x, w.y, w.width, w.height), shot.scale, finest);
}

}  // namespace halfarc::accuracy
