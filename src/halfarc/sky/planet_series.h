// Where the planets are, from a published analytic theory.
//
// VSOP87 in its B form (spherical coordinates, fixed ecliptic of J2000), shortened where the terms left out cannot
// matter, turned to the ICRF; Jupiter to Neptune corrected to a modern numerical ephemeris (data/sky/README.md).
#pragma once

#include "halfarc/sky/body.h"
#include "halfarc/sky/time_scales.h"
#include "halfarc/sky/vec3.h"

namespace halfarc::sky {

// The planet from the centre of the Sun: au, ICRF axes, geometric (no light time).
// Valid: 1800 to 2200, a planet other than the Earth; a caller that passes Sun or Moon gets zero.
// Accuracy: seen from the Sun, rms against DE441 1900 to 2100: 0.04" Mercury to Saturn, 0.2" Uranus, 0.01" Neptune.
// Source: [Bretagnon1988], corrections to [Park2021]; decision 0010.
Vec3 heliocentric_planet(Body planet, Tt t);

}  // namespace halfarc::sky
