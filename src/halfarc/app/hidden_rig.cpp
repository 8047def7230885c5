#include "halfarc/app/hidden_rig.h"

#include <algorithm>
#include <cmath>

#include "halfarc/air/humidity.h"
#include "halfarc/base/random.h"
#include "halfarc/optics/balance.h"
#include "halfarc/optics/passband.h"
#include "halfarc/optics/telescope.h"
#include "halfarc/optics/tilt_coma.h"
#include "halfarc/simulate/tube_plume.h"

namespace halfarc {
namespace {

constexpr double kPast = 0.15;              // turns beyond the place when the knob comes back
constexpr double kComaOfAPlainCell = 10.0;  // waves a turn where the formula has no mirror to tilt; invented
constexpr double kFirstComa = 0.9;          // waves, as the telescope comes from the car
constexpr Duration kCoolingStep = Duration::minutes(1.0);

SkyOffset along(Angle direction, Angle size) {
  const PixelOffset way = step_towards(direction);
  return {size * way.x, size * way.y};
}

SkyOffset sum(const SkyOffset& a, const SkyOffset& b) { return {a.x + b.x, a.y + b.y}; }
SkyOffset less(const SkyOffset& a, const SkyOffset& b) { return {a.x - b.x, a.y - b.y}; }

// The part of an offset along a direction.
Angle part_along(const SkyOffset& offset, Angle direction) {
  const PixelOffset way = step_towards(direction);
  return offset.x * way.x + offset.y * way.y;
}

Collimation drawn_collimation(const HiddenRig& hidden, Rng rng) {
  Collimation c;
  const ScrewCircle circle = hidden.rig.screws;
  const double tilt = circle.pitch / (circle.radius * 1.5);  // for a turn
  const auto coma = coma_per_radian(hidden.rig.telescope, hidden.train.back_focus);
  const double waves = coma ? *coma / hidden.green * tilt : kComaOfAPlainCell;
  // The star goes against the change of coma.
  const Angle image = Angle::rad(-star_shift_per_tilt(hidden.rig.telescope, hidden.train.back_focus) * tilt);
  const Angle first = Angle::deg(rng.uniform(0.0, 360.0));
  for (std::size_t i = 0; i < 3; ++i) {
    CollimationScrew& screw = c.screws[i];
    const double pitch = 1.0 + 0.05 * rng.normal();
    // Counter-clockwise on a picture that is no mirror image (advise/screws.h says why).
    screw.direction = wrap_positive(first - Angle::deg(120.0 * static_cast<double>(i) + 4.0 * rng.normal()));
    screw.coma_waves_per_turn = std::abs(waves) * pitch;
    screw.image_per_turn = along(screw.direction, image * pitch);
  }
  const PixelOffset coma_now = step_towards(Angle::deg(rng.uniform(0.0, 360.0))) * kFirstComa;
  c.at_first = {0.0, coma_now.x, coma_now.y};
  return c;
}

HiddenMount drawn_mount(Rng rng) {
  HiddenMount mount;
  mount.drift_per_second = along(Angle::deg(rng.uniform(0.0, 360.0)), Angle::arcsec(rng.uniform(0.01, 0.05)));
  mount.altitude_per_newton_m = Angle::arcsec(-rng.uniform(120.0, 360.0));  // the rear sinks, the view rises
  mount.azimuth_per_newton_m = Angle::arcsec(rng.uniform(-90.0, 90.0));
  mount.target = along(Angle::deg(rng.uniform(0.0, 360.0)), Angle::arcsec(6.0));
  return mount;
}

Length waves_to_travel(const HiddenRig& hidden, double waves) {
  return hidden.travel_per_turn * (waves / waves_per_turn(hidden));
}

Train with_spacing(Train train, Length more) {
  for (Part& part : train.parts) {
    if (part.name == "spacing") {
      part.length += more;
      return train;
    }
  }
  Part spacer;
  spacer.name = "spacing";
  spacer.length = more;
  train.parts.insert(train.parts.end() - 1, spacer);
  return train;
}

std::optional<PrismPair> true_pair(const HiddenRig& hidden) {
  const bool fitted = std::any_of(hidden.rig.train.parts.begin(), hidden.rig.train.parts.end(),
                                  [](const Part& part) { return part.kind == PartKind::corrector; });
  if (!fitted || !hidden.rig.corrector) return std::nullopt;
  PrismPair pair = *hidden.rig.corrector;
  pair.roll = hidden.corrector.roll + hidden.corrector.bubble_error;
  return pair;
}

double rounded_to(double value, double step) { return std::round(value / step) * step; }

void add_turn(std::vector<Turned>& turns, Control control, double amount, double step) {
  const double rounded = rounded_to(amount, step);
  if (rounded != 0.0) turns.push_back({control, rounded});
}

void mend_focus(const HiddenRig& hidden, double share, std::vector<Turned>& turns) {
  const double goal = hidden.knob.mirror - share * defocus_waves(hidden) / waves_per_turn(hidden);
  const bool clockwise = hidden.rig.telescope.knob.clockwise_is_skyward;  // as the hand takes it to be
  const KnobWay way = way_to(hidden.knob, goal, clockwise, kPast);
  add_turn(turns, Control::focus, way.first, 1e-3);
  const double so_far = turns.empty() ? 0.0 : turns.back().amount;
  add_turn(turns, Control::focus, way.first + way.last - so_far, 1e-3);
}

void mend_colours(const HiddenRig& hidden, double share, const ColourLight& light, std::vector<Turned>& turns) {
  const auto pair = true_pair(hidden);
  const auto place = corrector_place(hidden.train);
  if (!pair || !place) return;
  Angle roll = wrap_positive(roll_against(hidden.zenith) - pair->roll);
  if (roll > Angle::deg(180.0)) roll -= Angle::deg(360.0);
  const LeverSetting setting = marks_for(*pair, *place, light.air, light.planes[0], light.planes[2]);
  add_turn(turns, Control::roll, share * roll.deg(), 1.0);
  add_turn(turns, Control::levers, share * (setting.marks - hidden.corrector.marks), 0.1);
}

void mend_centre(const HiddenRig& hidden, double share, std::vector<Turned>& turns) {
  const SkyOffset place = target_place(hidden);
  const Angle up = part_along(place, hidden.zenith);
  const Angle right = part_along(place, hidden.zenith + Angle::deg(90.0));
  add_turn(turns, Control::altitude, share * (up / hidden.mount.key_per_second), 0.1);
  add_turn(turns, Control::azimuth, share * (right / hidden.mount.key_per_second), 0.1);
}

// The longer axis of the ellipse of standard deviations.
SkyOffset widest(const PlaneLeft& left, Angle zenith) {
  const double along_deviation = left.along.width.arcsec(), across_deviation = left.across.width.arcsec();
  const double mean = 0.5 * (along_deviation * along_deviation + across_deviation * across_deviation);
  const double half = 0.5 * (along_deviation * along_deviation - across_deviation * across_deviation);
  const double both = left.together * along_deviation * across_deviation;
  const Angle turn = Angle::rad(0.5 * std::atan2(both, half));
  return along(zenith + turn, Angle::arcsec(std::sqrt(mean + std::hypot(half, both))));
}

}  // namespace

Result<HiddenRig> hidden_rig(const Rig& rig, const sky::Site& site, Utc out, std::uint64_t seed) {
  HiddenRig hidden;
  hidden.rig = rig;
  hidden.site = site;
  hidden.seed = seed;
  hidden.now = out;
  hidden.green = mean_wavelength(colour_planes(rig)[1]);
  HALFARC_TRY(hidden.train, solve(rig));
  const Rng rng = Rng(seed).child("hidden rig");

  Rng knob = rng.child("knob");
  hidden.knob.slack_turns = std::max(0.0, rig.telescope.knob.backlash_turns * (1.0 + 0.3 * knob.normal()));
  hidden.knob.tipping = along(Angle::deg(knob.uniform(0.0, 360.0)), Angle::arcsec(knob.uniform(10.0, 40.0)));
  hidden.knob.wandering = along(Angle::deg(knob.uniform(0.0, 360.0)), Angle::arcsec(knob.uniform(5.0, 30.0)));
  const bool skyward = rig.knob_sense_known ? rig.telescope.knob.clockwise_is_skyward : knob.uniform() < 0.5;
  hidden.travel_per_turn = rig.telescope.knob.travel_per_turn * ((skyward ? 1.0 : -1.0) * (1.0 + 0.08 * knob.normal()));

  Rng camera = rng.child("camera");
  hidden.zenith = Angle::deg(camera.uniform(0.0, 360.0));
  hidden.collimation = drawn_collimation(hidden, rng.child("screws"));
  Rng corrector = rng.child("corrector");
  hidden.corrector.bubble_error = Angle::deg(3.0 * corrector.normal());
  hidden.corrector.roll =
      wrap_positive(roll_against(hidden.zenith) - hidden.corrector.bubble_error +
                    Angle::deg((corrector.uniform() < 0.5 ? -1.0 : 1.0) * corrector.uniform(20.0, 35.0)));
  hidden.mount = drawn_mount(rng.child("mount"));

  Rng weather = rng.child("weather");
  const Temperature air = Temperature::celsius(weather.uniform(0.0, 6.0));
  hidden.evening = out;
  hidden.outside.air = TemperatureCurve::changing(air, TemperatureDifference::kelvin(-weather.uniform(0.3, 0.8)));
  hidden.outside.vapour = vapour_pressure({sky::usual_weather(site.height).pressure, air, hidden.relative_humidity});
  hidden.r0_at_zenith = Length::cm(weather.uniform(9.0, 11.0));
  hidden.heat = tube_heat(rig);
  hidden.tube = {rig.indoors, rig.indoors};
  hidden.focused_at = air;

  hidden.mirror_at_zero = hidden.train.skyward_travel;
  hidden.mirror_at_zero += waves_to_travel(hidden, 1.5 + knob.uniform());
  return hidden;
}

void pass(HiddenRig& hidden, Duration time) {
  if (!(time > Duration())) return;
  const Duration step = std::min(kCoolingStep, time);
  hidden.tube = cool(hidden.heat, hidden.tube, hidden.outside, hidden.now - hidden.evening, time, step).back().tube;
  hidden.now = hidden.now + time;
  // A mount that has been waiting is followed by its owner: only what drifts in a minute is left.
  const double seconds = std::min(time.s(), 60.0);
  hidden.mount.target =
      sum(hidden.mount.target, {hidden.mount.drift_per_second.x * seconds, hidden.mount.drift_per_second.y * seconds});
}

Result<void> apply(HiddenRig& hidden, const Turned& turned) {
  const double amount = turned.amount;
  const auto screw = [&](std::size_t i) { hidden.collimation.screws[i].turns += amount; };
  const auto keys = [&](Angle direction) {
    hidden.mount.target = less(hidden.mount.target, along(direction, hidden.mount.key_per_second * amount));
  };
  switch (turned.control) {
    case Control::focus:
      hidden.knob = halfarc::turned(hidden.knob, amount);
      break;
    case Control::levers: {
      const double low = hidden.rig.corrector ? hidden.rig.corrector->scale.lowest : 0.0;
      const double high = hidden.rig.corrector ? hidden.rig.corrector->scale.highest : 0.0;
      hidden.corrector.marks = std::clamp(hidden.corrector.marks + amount, low, high);
      break;
    }
    case Control::roll:
      hidden.corrector.roll = wrap_positive(hidden.corrector.roll + Angle::deg(amount));
      break;
    case Control::screw_a:
      screw(0);
      break;
    case Control::screw_b:
      screw(1);
      break;
    case Control::screw_c:
      screw(2);
      break;
    case Control::altitude:
      keys(hidden.zenith);
      break;
    case Control::azimuth:
      keys(hidden.zenith + Angle::deg(90.0));
      break;
    case Control::spacing:
      return refit(hidden, with_spacing(hidden.rig.train, Length::mm(amount)));
    case Control::exposure:
      hidden.exposure = std::max(hidden.exposure + Duration::ms(amount), Duration::ms(0.05));
      break;
    case Control::cooling:
      pass(hidden, Duration::minutes(amount));
      break;
  }
  return {};
}

Result<void> refit(HiddenRig& hidden, const Train& train) {
  HALFARC_TRY(const TrainSolution solution, solve(train, hidden.rig.telescope));
  const auto change =
      moment_change(mass_points(hidden.rig.train, hidden.rig.mount), mass_points(train, hidden.rig.mount));
  const double newton_m = change.value_or(0.0);
  const SkyOffset jump = sum(along(hidden.zenith, hidden.mount.altitude_per_newton_m * newton_m),
                             along(hidden.zenith + Angle::deg(90.0), hidden.mount.azimuth_per_newton_m * newton_m));
  hidden.mount.target = sum(hidden.mount.target, jump);
  hidden.rig.train = train;
  hidden.train = solution;
  return {};
}

double waves_per_turn(const HiddenRig& hidden) {
  const double m = secondary_magnification(hidden.rig.telescope, hidden.train.back_focus);
  const double ratio = hidden.train.telescope_focal_length / hidden.train.pupil.diameter;
  return hidden.travel_per_turn / hidden.green * m * m / (8.0 * ratio * ratio);
}

double defocus_waves(const HiddenRig& hidden) {
  const Length mirror = hidden.mirror_at_zero + hidden.travel_per_turn * hidden.knob.mirror;
  const double turns_too_many = (mirror - hidden.train.skyward_travel) / hidden.travel_per_turn;
  const double ratio = hidden.train.telescope_focal_length / hidden.train.pupil.diameter;
  const Length by_heat = focus_shift_per_kelvin(hidden.rig.telescope, hidden.train.back_focus) *
                         (hidden.tube.tube_air - hidden.focused_at).kelvin();
  return turns_too_many * waves_per_turn(hidden) + by_heat / hidden.green / (8.0 * ratio * ratio);
}

OpticsError coma(const HiddenRig& hidden) { return coma_of(hidden.collimation); }

PlumeSpec plume(const HiddenRig& hidden) {
  return tube_plume(hidden.tube.mirror - hidden.tube.tube_air, hidden.train.pupil.diameter, hidden.green,
                    hidden.zenith);
}

double defocus_waves_per_minute(const HiddenRig& hidden) {
  HiddenRig later = hidden;
  pass(later, kCoolingStep);
  return (defocus_waves(later) - defocus_waves(hidden)) / kCoolingStep.minutes();
}

SkyOffset target_place(const HiddenRig& hidden) {
  SkyOffset place = sum(sum(hidden.mount.target, image_shift(hidden.knob)), image_shift(hidden.collimation));
  const auto pair = true_pair(hidden);
  const auto where = corrector_place(hidden.train);
  if (!pair || !where) return place;
  const SensorOffset prisms = image_shift(*pair, both_at(hidden.corrector.marks), *where, hidden.green);
  const auto angle = [&](Length shift) { return Angle::rad(shift / where->focal_length); };
  return sum(place, {angle(prisms.x), angle(prisms.y)});
}

ColourPlaces colour_places(const HiddenRig& hidden, const ColourLight& light) {
  const auto pair = true_pair(hidden);
  const auto where = corrector_place(hidden.train);
  std::array<PlaneLeft, 3> left{};
  for (std::size_t c = 0; c < 3; ++c) {
    left[c] = pair && where ? plane_left(*pair, both_at(hidden.corrector.marks), *where, hidden.zenith, light.air,
                                         light.planes[c])
                            : PlaneLeft{spread_of(light.air, light.planes[c]), {}};
  }
  ColourPlaces places;
  for (std::size_t c = 0; c < 3; ++c) {
    places.shift[c] = sum(along(hidden.zenith, left[c].along.centre - left[1].along.centre),
                          along(hidden.zenith + Angle::deg(90.0), left[c].across.centre - left[1].across.centre));
    places.smear[c] = widest(left[c], hidden.zenith);
  }
  return places;
}

std::vector<Turned> to_mend(const HiddenRig& hidden, Mending what, double share, const ColourLight& light) {
  std::vector<Turned> turns;
  switch (what) {
    case Mending::collimation: {
      const auto screws = turns_to_collimate(hidden.collimation);
      constexpr std::array controls = {Control::screw_a, Control::screw_b, Control::screw_c};
      for (std::size_t i = 0; i < 3; ++i) add_turn(turns, controls[i], share * screws[i], 1.0 / 128.0);
      break;
    }
    case Mending::focus:
      mend_focus(hidden, share, turns);
      break;
    case Mending::colours:
      mend_colours(hidden, share, light, turns);
      break;
    case Mending::centre:
      mend_centre(hidden, share, turns);
      break;
  }
  return turns;
}

}  // namespace halfarc
