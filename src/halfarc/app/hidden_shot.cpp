#include "halfarc/app/hidden_shot.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "halfarc/air/dew.h"
#include "halfarc/air/extinction.h"
#include "halfarc/air/humidity.h"
#include "halfarc/app/body_of_date.h"
#include "halfarc/app/target_light.h"
#include "halfarc/app/where_body.h"
#include "halfarc/base/random.h"
#include "halfarc/optics/light.h"
#include "halfarc/optics/passband.h"
#include "halfarc/simulate/scene.h"
#include "halfarc/sky/refraction.h"

namespace halfarc {
namespace {

constexpr Duration kLongest = Duration::ms(8.0);  // common practice: the air stands still for about so long
constexpr Duration kReadOut = Duration::ms(0.3);
constexpr double kSpreadOfRing = 0.5;  // share of a star's light within the ring's brighter half
constexpr double kLeastRing = 2.0;     // waves: a smaller one is no ring yet

Weather weather_now(const HiddenRig& hidden) {
  const Temperature air = hidden.outside.air.at(hidden.now - hidden.evening);
  return {sky::usual_weather(hidden.site.height).pressure, air, hidden.relative_humidity};
}

Result<Whereabouts> whereabouts_of(const HiddenRig& hidden, sky::Body body) {
  WhereRequest request;
  request.body = body;
  request.site = hidden.site;
  request.utc = hidden.now;
  request.weather = weather_now(hidden);
  return where_body(request);
}

// How wide the light of a point is thrown by defocus, on the sky: 8 N lambda W on the sensor.
Angle ring_diameter(const HiddenRig& hidden, double waves) {
  return Angle::rad(8.0 * (hidden.green / hidden.train.pupil.diameter) * std::abs(waves));
}

Angle diagonal(const ShotSpec& shot) { return shot.scale.angle(std::hypot(shot.width, shot.height)); }

// The glow of a target whose light covers the frame and more: its electrons, spread over the ring, from every pixel.
void make_a_glow(ShotSpec& shot, Angle ring) {
  const double ring_px = shot.scale.pixels(ring);
  double light = shot.brightness.electrons[1];
  if (shot.body.kind != BodyKind::star) {
    const double disc_px = shot.scale.pixels(shot.body.equatorial_diameter);
    light *= disc_px * disc_px * std::numbers::pi / 4.0 * mean_light(shot.body)[1];
  }
  shot.brightness.sky_electrons += light / (ring_px * ring_px * std::numbers::pi / 4.0);
  shot.brightness.electrons = {};
  shot.instrument.defocus_waves = 0.0;
}

bool outside_frame(const ShotSpec& shot, Angle ring) {
  if (shot.body.kind == BodyKind::cratered) return false;
  const Angle more = reach(shot.body) + ring / 2.0;
  return abs(shot.body.centre.x) > shot.scale.angle(shot.width / 2.0) + more ||
         abs(shot.body.centre.y) > shot.scale.angle(shot.height / 2.0) + more;
}

DewSpec dew_of(const HiddenRig& hidden, Angle altitude) {
  FrontGlass glass;
  glass.aperture = hidden.rig.telescope.aperture;
  glass.shield = hidden.rig.shield;
  glass.heater_w = hidden.rig.heater_w;
  glass.altitude = altitude;
  const auto fogs = time_until_dew(glass, hidden.outside, Duration(), Duration::hours(14.0));
  DewSpec dew;
  if (!fogs) return dew;
  const Duration since = hidden.now - hidden.evening - *fogs;
  if (since < Duration()) return dew;
  dew.loss = 0.6;  // invented: what a glass that nobody wipes comes to
  dew.scattered = 0.3;
  dew.begins = -since;
  dew.growing = Duration::minutes(25.0);
  return dew;
}

void fill_pointing(ShotSpec& shot, const HiddenRig& hidden, Rng rng) {
  shot.pointing.drift_per_second = hidden.mount.drift_per_second;
  shot.pointing.wind.rms = {Angle::arcsec(rng.uniform(0.03, 0.12)), Angle::arcsec(rng.uniform(0.03, 0.12))};
}

}  // namespace

Result<TargetLight> light_of(const HiddenRig& hidden, const NightTarget& target) {
  TargetLight light;
  if (target.body) {
    HALFARC_TRY(const Whereabouts where, whereabouts_of(hidden, *target.body));
    if (!where.airmass) {
      return bad_input("stands below the horizon at " + hidden.now.iso(0), std::string(sky::name_of(*target.body)),
                       "rehearse another hour");
    }
    light.altitude = where.refracted_altitude;
    light.airmass = *where.airmass;
    light.colours.planes = plane_weights(hidden.rig, *target.body, light.airmass, hidden.site.height);
    light.electrons_per_s =
        target_electrons_per_s(hidden.rig, hidden.train, *target.body, where.surface_magnitude.value_or(8.0),
                               light.airmass, hidden.site.height);
  } else {
    light.altitude = target.star_altitude;
    light.airmass = sky::airmass(light.altitude);
    const SpectralCurve down = air_transmission(light.airmass, hidden.site.height);
    const SpectralCurve photons = photons_of_magnitude(target.star_magnitude, body_light(BodyColour::grey)) * down;
    light.colours.planes = colour_planes(hidden.rig);
    for (SpectralCurve& plane : light.colours.planes) plane = plane * body_light(BodyColour::grey) * down;
    light.electrons_per_s = electrons_per_s(hidden.train.transmission * photons, colour_planes(hidden.rig),
                                            hidden.train.pupil, PlateScale::arcsec_per_px(1.0));
  }
  light.colours.air = lift_arcsec(weather_now(hidden), light.altitude);
  return light;
}

Result<void> set_exposure(HiddenRig& hidden, const NightTarget& target, double peak) {
  HALFARC_TRY(const TargetLight light, light_of(hidden, target));
  ExposureWish wish;
  wish.longest = kLongest;
  wish.peak = peak;
  wish.peak_over_mean = kPeakOverMean;
  std::array<double, 3> mean = light.electrons_per_s;
  if (!target.body) {
    const double ring_px = plate_scale(hidden.rig, hidden.train)
                               .pixels(ring_diameter(hidden, std::max(kLeastRing, std::abs(defocus_waves(hidden)))));
    for (double& e : mean) e *= kSpreadOfRing / (ring_px * ring_px * std::numbers::pi / 4.0);
  }
  const ExposureChoice choice = choose_exposure(hidden.rig.camera, mean, wish);
  hidden.exposure = choice.exposure;
  hidden.e_per_adu = choice.e_per_adu;
  return {};
}

Duration key_held(const Timing& timing) { return std::min(Duration::s(1.0), length_of(timing) / 3.0); }

Result<ShotSpec> hidden_shot(const HiddenRig& hidden, const NightTarget& target, const ClipWish& wish) {
  HALFARC_TRY(const TargetLight light, light_of(hidden, target));
  Rng rng = Rng(wish.seed).child("shot");
  ShotSpec shot;
  shot.name = wish.name;
  shot.object = target.body ? std::string(name_of(*target.body)) : "star";
  shot.seed = rng.bits64() >> 12;
  shot.width = wish.width;
  shot.height = wish.height;
  shot.scale = plate_scale(hidden.rig, hidden.train);
  shot.instrument.pupil = hidden.train.pupil;
  const auto planes = colour_planes(hidden.rig);
  for (std::size_t c = 0; c < 3; ++c) shot.instrument.wavelengths[c] = mean_wavelength(planes[c]);
  shot.instrument.defocus_waves = defocus_waves(hidden);
  shot.instrument.coma_x_waves = coma(hidden).coma_x_waves;
  shot.instrument.coma_y_waves = coma(hidden).coma_y_waves;
  shot.optics_change.per_minute.defocus_waves = defocus_waves_per_minute(hidden);
  shot.plume = plume(hidden);
  shot.dew = dew_of(hidden, light.altitude);
  const ColourPlaces places = colour_places(hidden, light.colours);
  shot.dispersion = places.shift;
  shot.instrument.smear = places.smear;
  shot.air.turbulence.r0 = r0_through(hidden.r0_at_zenith, light.airmass);
  shot.air.spells = {0.12, Duration::s(8.0)};
  fill_pointing(shot, hidden, rng.child("pointing"));

  const Detector& camera = hidden.rig.camera;
  shot.sensor.mosaic = hidden.rig.mosaic;
  shot.sensor.bits = camera.bits;
  shot.sensor.read_noise_e = camera.read_noise_e;
  shot.sensor.offset_adu = camera.offset_adu;
  shot.sensor.full_well_e = camera.full_well_e;
  shot.sensor.electrons_per_adu = hidden.e_per_adu;
  shot.timing.start = hidden.now;
  shot.timing.frames = wish.frames;
  shot.timing.exposure = hidden.exposure;
  const double fastest = frame_rate(camera, {wish.width, wish.height}, hidden.exposure).per_s;
  shot.timing.interval = std::max(hidden.exposure + kReadOut, Duration::s(1.0 / fastest));
  shot.timing.clock = wish.clock;
  if (wish.key_up) {
    const Duration held = key_held(shot.timing);
    // The telescope goes up, and what it sees goes down.
    const PixelOffset down = step_towards(hidden.zenith + Angle::deg(180.0));
    const Angle moved = hidden.mount.key_per_second * held.s();
    shot.pointing.keys.push_back({(length_of(shot.timing) - held) / 2.0, held, {moved * down.x, moved * down.y}});
  }

  for (std::size_t c = 0; c < 3; ++c) shot.brightness.electrons[c] = light.electrons_per_s[c] * hidden.exposure.s();
  if (target.body) {
    HALFARC_TRY(const Whereabouts where, whereabouts_of(hidden, *target.body));
    HALFARC_TRY(shot.body, body_of_date(where, hidden.zenith, hidden.seed));
    const std::array<double, 3> mean = mean_light(shot.body);
    for (std::size_t c = 0; c < 3; ++c) shot.brightness.electrons[c] /= mean[c];
    shot.pointing.field_rotation = where.field_rotation;
  } else {
    shot.body.kind = BodyKind::star;
  }
  shot.body.centre = target_place(hidden);
  if (target.body == sky::Body::moon) {
    const Angle radius = shot.body.equatorial_diameter / 2.0;
    const PixelOffset up = step_towards(hidden.zenith);
    const PixelOffset right = step_towards(hidden.zenith + Angle::deg(90.0));
    shot.body.centre.x -= radius * (target.part.x * right.x - target.part.y * up.x);
    shot.body.centre.y -= radius * (target.part.x * right.y - target.part.y * up.y);
  }
  const Angle ring = ring_diameter(hidden, shot.instrument.defocus_waves);
  if (ring > diagonal(shot)) {
    make_a_glow(shot, ring);
    shot.body.centre = {};
  } else if (outside_frame(shot, ring)) {
    shot.brightness.electrons = {};
    shot.body.centre = {};
  }
  HALFARC_CHECK(check(shot));
  shot.timing.start = shot.timing.start + wish.clock_wrong_by;
  return shot;
}

}  // namespace halfarc
