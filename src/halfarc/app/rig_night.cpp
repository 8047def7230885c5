#include "halfarc/app/rig_night.h"

#include <algorithm>
#include <cmath>

#include "halfarc/air/humidity.h"
#include "halfarc/app/target_light.h"
#include "halfarc/optics/prism_colour.h"
#include "halfarc/sky/refraction.h"

namespace halfarc {
namespace {

constexpr Duration kEarliest = Duration::hours(8.0);  // before the first window: nobody carries it out sooner
constexpr Duration kStep = Duration::minutes(10.0);

// The air outside, with times counted from sunset.
Outside outside_of(const NightAir& air, Utc sunset, Utc sunrise) {
  const double hours = std::max(1.0, (sunrise - sunset).hours());
  const Temperature dawn = air.evening - air.fall_per_hour * hours;
  Outside outside;
  const auto curve = TemperatureCurve::through({{Duration(), air.evening}, {Duration::hours(hours), dawn}});
  if (curve) outside.air = *curve;
  const Pressure full = saturation_pressure(air.evening);
  outside.vapour = full * air.relative_humidity;
  outside.cloud = air.cloud;
  return outside;
}

// The vapour stays as it is while the air cools.
Weather weather_at(const Outside& outside, Duration after_sunset, Pressure pressure) {
  Weather weather;
  weather.temperature = outside.air.at(after_sunset);
  weather.pressure = pressure;
  weather.relative_humidity = std::min(1.0, outside.vapour / saturation_pressure(weather.temperature));
  return weather;
}

CoolingClock cooling_clock(const Rig& rig, const Outside& outside, Utc sunset, Utc ready, Utc last) {
  CoolingClock clock;
  clock.ready = ready;
  const TubeHeat heat = tube_heat(rig);
  const TubeState indoors{rig.indoors, rig.indoors};
  const auto settled_from = [&](Utc out) {
    return settle(heat, indoors, outside, clock.within, out - sunset, last - out);
  };
  // The latest moment from which it has settled when the first window begins; else the earliest.
  clock.out = ready - kEarliest;
  for (Utc out = ready - Duration::minutes(20.0); out >= ready - kEarliest; out = out - kStep) {
    const Settling tried = settled_from(out);
    if (!tried.after || out + *tried.after > ready) continue;
    clock.out = out;
    break;
  }
  clock.settling = settled_from(clock.out);
  const auto course = cool(heat, indoors, outside, clock.out - sunset, ready - clock.out);
  clock.then = course.back().mirror_over_air();
  clock.seeing = mirror_seeing(clock.then);
  return clock;
}

DewClock dew_clock(const Rig& rig, const NightAir& air, const Outside& outside, Utc sunset, Utc first, Utc last,
                   Angle altitude, Pressure pressure) {
  FrontGlass glass;
  glass.aperture = rig.telescope.aperture;
  glass.shield = rig.shield;
  glass.heater_w = rig.heater_w;
  glass.altitude = altitude;
  DewClock clock;
  clock.until = last;
  clock.at_first = dew_margin(glass, weather_at(outside, first - sunset, pressure), air.cloud);
  if (const auto after = time_until_dew(glass, outside, first - sunset, last - first)) clock.fogs = first + *after;
  return clock;
}

LeverRow lever_row(const Rig& rig, const std::optional<CorrectorPlace>& place, const TargetHours& target,
                   const TargetHours::Moment& moment, const Weather& weather, Length height) {
  const auto bands = dispersed_planes(rig, target.body, weather, moment.altitude, height);
  LeverRow row;
  row.at = moment.at;
  row.altitude = moment.altitude;
  row.red_minus_green = bands[0].centroid - bands[1].centroid;
  row.blue_minus_green = bands[2].centroid - bands[1].centroid;
  row.inside_green = bands[1].rms_width;
  if (!rig.corrector || !place) return row;
  const auto weights = plane_weights(rig, target.body, sky::airmass(moment.altitude), height);
  row.levers = marks_for(*rig.corrector, *place, lift_arcsec(weather, moment.altitude), weights[0], weights[2]);
  return row;
}

ExposureChoice exposure_for(const Rig& rig, const TrainSolution& train, const NightAir& air, const TargetHours& target,
                            Length height) {
  const double airmass = sky::airmass(target.best.altitude);
  ExposureWish wish;
  wish.longest = longest_still_exposure(air.r0_at_zenith, airmass, rig.telescope.aperture, air.wind);
  wish.peak_over_mean = kPeakOverMean;
  if (target.body == sky::Body::moon) wish.region = {rig.camera.width, rig.camera.height};
  return choose_exposure(
      rig.camera, target_electrons_per_s(rig, train, target.body, *target.surface_magnitude, airmass, height), wish);
}

}  // namespace

Result<RigNight> rig_night(const Rig& rig, const NightAir& air, const sky::Site& site, Utc sunset, Utc sunrise,
                           const std::vector<TargetHours>& targets) {
  HALFARC_TRY(const TrainSolution train, solve(rig));
  const auto place = corrector_place(train);
  const Outside outside = outside_of(air, sunset, sunrise);
  const Pressure pressure = sky::usual_weather(site.height).pressure;
  RigNight night{rig, air, {}, {}, {}};
  const TargetHours* first = nullptr;
  Utc last = sunset;
  for (const TargetHours& target : targets) {
    if (target.moments.empty()) continue;
    if (first == nullptr || target.moments.front().at < first->moments.front().at) first = &target;
    last = std::max(last, target.moments.back().at);
    const auto row_at = [&](const TargetHours::Moment& moment) {
      return lever_row(rig, place, target, moment, weather_at(outside, moment.at - sunset, pressure), site.height);
    };
    TargetRig planned{target.body, {}, row_at(target.best), {}};
    for (const TargetHours::Moment& moment : target.moments) planned.rows.push_back(row_at(moment));
    if (target.surface_magnitude) planned.exposure = exposure_for(rig, train, air, target, site.height);
    night.targets.push_back(std::move(planned));
  }
  if (first == nullptr) return night;
  const TargetHours::Moment begin = first->moments.front();
  night.cooling = cooling_clock(rig, outside, sunset, begin.at, std::max(last, begin.at + Duration::hours(1.0)));
  night.dew = dew_clock(rig, air, outside, sunset, begin.at, last, begin.altitude, pressure);
  return night;
}

}  // namespace halfarc
