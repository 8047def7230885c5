// MoonOffset: where a moon stands beside its planet, as seen by the observer (or by the Sun, for shadows).
#pragma once

#include "halfarc/sky/body.h"
#include "halfarc/sky/time_scales.h"
#include "halfarc/sky/vec3.h"

namespace halfarc::sky {

// In equatorial radii of the planet: x towards west along the planet's equator, y towards its north, z towards the eye.
struct MoonOffset {
  double x = 0.0, y = 0.0, z = 0.0;
};

// The eye's axes at the planet.
struct MoonFrame {
  Vec3 line_of_sight, north, west;  // unit vectors, ICRF; the line of sight runs from the eye to the planet
  double distance_au = 0.0, radius_au = 0.0;
};

MoonFrame moon_frame(Body planet, Vec3 eye_to_planet, Tt then);

// `from_planet`: au, ICRF, at the instant when the light that is seen left the planet's centre. `velocity` (au per
// second, of the moon through space, the planet's own motion included) allows for a nearer moon's light having left
// later. Valid: moons near their planet.   Accuracy: 1e-5 radii.   Source: geometry; [Meeus1998] ch. 44 gives the same
// in two steps.
MoonOffset seen_beside(const MoonFrame& frame, Vec3 from_planet, Vec3 velocity);

}  // namespace halfarc::sky
