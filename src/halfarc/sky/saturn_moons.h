// The eight moons of Saturn that a small telescope may show, beside the disc.
#pragma once

#include <array>
#include <string_view>

#include "halfarc/sky/moon_offset.h"
#include "halfarc/sky/place.h"

namespace halfarc::sky {

enum class SaturnMoon { mimas, enceladus, tethys, dione, rhea, titan, hyperion, iapetus };

inline constexpr std::array kSaturnMoons = {SaturnMoon::mimas,    SaturnMoon::enceladus, SaturnMoon::tethys,
                                            SaturnMoon::dione,    SaturnMoon::rhea,      SaturnMoon::titan,
                                            SaturnMoon::hyperion, SaturnMoon::iapetus};

std::string_view name_of(SaturnMoon moon);

// From Saturn's centre: au, ICRF axes, geometric.
// Valid: 1900 to 2100.   Accuracy: 0.1" to 0.3" at opposition, Hyperion 1" (from memory of the source's residuals).
// Source: [Dourneau1993] as in [Meeus1998] ch. 46.
std::array<Vec3, 8> saturn_moons_from_saturn(Tt t);

// Beside the disc as seen from the observer, as MoonOffset tells, in Saturn's equatorial radii.
std::array<MoonOffset, 8> saturn_moon_offsets(const Place& saturn, const Observer& observer);

}  // namespace halfarc::sky
