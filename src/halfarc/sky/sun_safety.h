// Sun safety: how near the Sun a telescope may be pointed in daylight, and the check that every pointing passes.
//
// A closed tube focuses sunlight inside itself even with the cap on the eyepiece end: near the Sun it burns eyes,
// cameras, and itself. halfarc is not a solar tool. It refuses to help where the Sun is up and nearer than the
// exclusion, 30 deg unless the owner widens it; narrower only for one target, with the reason typed in.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/base/result.h"
#include "halfarc/sky/body.h"
#include "halfarc/sky/coordinates.h"
#include "halfarc/sky/place.h"

namespace halfarc::sky {

inline constexpr Angle kSunExclusion = Angle::deg(30.0);
// Below this (airless) altitude of its centre no part of the Sun is above a level horizon, whatever the refraction.
inline constexpr Angle kSunIsDown = Angle::deg(-1.0);

struct SunRule {
  Angle exclusion = kSunExclusion;
  std::string reason;  // why it was narrowed; empty otherwise
};

// The rule with another exclusion. Errors (refused): below 30 deg without a reason of at least three words, or below
// 10 deg, which nothing but a solar instrument needs.
Result<SunRule> sun_rule(Angle exclusion, std::string_view reason);

bool sun_is_up(const Place& sun);

// Whether `target` may be pointed at. Errors (kind `refused`): the Sun is up and nearer than the rule allows, or is
// itself the target.
Result<void> check_pointing(Body body, const Place& target, const Place& sun, const SunRule& rule);

// What the owner must know about the Sun at that moment, most important first; empty in the night.
std::vector<std::string> sun_cautions(Body body, const Place& target, const Place& sun, const SunRule& rule);

// The nearest that a slew passes the Sun, over all the ways an altitude-azimuth mount may go from one place to the
// other: both axes together, altitude first, azimuth first, and the long way round in azimuth. Valid: any.   Accuracy:
// 0.2 deg.
Angle closest_approach(Horizontal from, Horizontal to, Horizontal sun);

// Errors (kind `refused`): the Sun is up and a slew may pass it nearer than the rule allows.
Result<void> check_slew(Horizontal from, Horizontal to, const Place& sun, const SunRule& rule);

}  // namespace halfarc::sky
