#include "halfarc/sky/sun_safety.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace halfarc::sky {
namespace {

std::string degrees(Angle a) { return std::to_string(std::lround(a.deg())) + " deg"; }

Error refused(std::string what, std::string to_do) {
  return {ErrorKind::refused, std::move(what), {}, std::move(to_do)};
}

int words_in(std::string_view text) {
  int words = 0;
  bool inside = false;
  for (const char c : text) {
    const bool blank = c == ' ' || c == '\t' || c == '\n';
    if (!blank && !inside) ++words;
    inside = !blank;
  }
  return words;
}

Angle apart(Horizontal a, Horizontal b) {
  return angle_between(direction(a.azimuth, a.altitude), direction(b.azimuth, b.altitude));
}

// The nearest along a straight run in azimuth and altitude.
Angle closest_on_leg(Horizontal from, Angle azimuth_run, Angle altitude_run, Horizontal sun) {
  const Angle longest = std::max(abs(azimuth_run), abs(altitude_run));
  const int steps = std::max(1, static_cast<int>(std::ceil(longest.deg() / 0.2)));
  Angle nearest = Angle::deg(180.0);
  for (int i = 0; i <= steps; ++i) {
    const double f = static_cast<double>(i) / steps;
    nearest = std::min(nearest, apart({from.azimuth + f * azimuth_run, from.altitude + f * altitude_run}, sun));
  }
  return nearest;
}

}  // namespace

Result<SunRule> sun_rule(Angle exclusion, std::string_view reason) {
  if (!(exclusion.deg() >= 10.0)) {
    return refused("halfarc points nothing nearer than 10 deg to the Sun", "wait for another day or for the night");
  }
  if (exclusion > Angle::deg(180.0)) {
    return bad_input("a Sun exclusion lies between 10 and 180 degrees", {}, "type for example --sun-exclusion 45");
  }
  if (exclusion < kSunExclusion && words_in(reason) < 3) {
    return refused("a Sun exclusion below 30 deg needs its reason",
                   "type it out, for example --reason \"tube in the shade of the wall\"");
  }
  return SunRule{exclusion, exclusion < kSunExclusion ? std::string(reason) : std::string()};
}

bool sun_is_up(const Place& sun) { return sun.horizontal.altitude > kSunIsDown; }

Result<void> check_pointing(Body body, const Place& target, const Place& sun, const SunRule& rule) {
  if (!sun_is_up(sun)) return {};
  if (body == Body::sun) {
    return refused("halfarc is not a solar tool and points nothing at the Sun", "keep telescope and finder capped");
  }
  const Angle separation_now = separation(target, sun);
  if (separation_now >= rule.exclusion) return {};
  return refused("the Sun is up and only " + degrees(separation_now) + " from " + std::string(name_of(body)) +
                     ", inside the exclusion of " + degrees(rule.exclusion),
                 "keep telescope and finder capped and wait until the Sun has set");
}

std::vector<std::string> sun_cautions(Body body, const Place& target, const Place& sun, const SunRule& rule) {
  std::vector<std::string> cautions;
  if (!sun_is_up(sun)) return cautions;
  if (body != Body::sun) {
    cautions.push_back("The Sun is up, " + degrees(separation(target, sun)) + " from " + std::string(name_of(body)) +
                       ". Never look through telescope or finder near it.");
  }
  if (!rule.reason.empty()) {
    cautions.push_back("The Sun exclusion is narrowed to " + degrees(rule.exclusion) +
                       " for this target: " + rule.reason + ".");
  }
  cautions.push_back("Cap telescope and finder before any slew by day, and uncap only when pointed away from the Sun.");
  return cautions;
}

Angle closest_approach(Horizontal from, Horizontal to, Horizontal sun) {
  const Angle up = to.altitude - from.altitude;
  const Angle near_way = wrap_signed(to.azimuth - from.azimuth);
  const Angle far_way = near_way.rad() < 0.0 ? near_way + Angle::deg(360.0) : near_way - Angle::deg(360.0);
  Angle nearest = Angle::deg(180.0);
  for (const Angle round : {near_way, far_way}) {
    const std::array legs = {
        closest_on_leg(from, round, up, sun),  // both together
        closest_on_leg(from, Angle(), up, sun), closest_on_leg({from.azimuth, to.altitude}, round, Angle(), sun),
        closest_on_leg(from, round, Angle(), sun), closest_on_leg({to.azimuth, from.altitude}, Angle(), up, sun)};
    nearest = std::min(nearest, *std::min_element(legs.begin(), legs.end()));
  }
  return nearest;
}

Result<void> check_slew(Horizontal from, Horizontal to, const Place& sun, const SunRule& rule) {
  if (!sun_is_up(sun)) return {};
  const Angle nearest = closest_approach(from, to, sun.horizontal);
  if (nearest >= rule.exclusion) return {};
  return refused("the Sun is up and this slew may pass it at " + degrees(nearest) + ", inside the exclusion of " +
                     degrees(rule.exclusion),
                 "cap telescope and finder, and go round by hand on the side away from the Sun");
}

}  // namespace halfarc::sky
