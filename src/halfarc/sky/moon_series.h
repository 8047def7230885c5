// Where the Moon is, from a published analytic theory: ELP/MPP02, fitted to the numerical ephemeris DE405.
#pragma once

#include "halfarc/sky/time_scales.h"
#include "halfarc/sky/vec3.h"

namespace halfarc::sky {

// The Moon's centre from the Earth's centre: au, ICRF axes, geometric (no light time).
// Valid: 1750 to 2250.   Accuracy: against DE441 1900 to 2100 0.03" rms, 0.08" worst, 50 m in distance.
// Source: [Chapront2003]; decision 0010.
Vec3 geocentric_moon(Tt t);

// The same as longitude, latitude and distance on the mean ecliptic and equinox of date, the frame of tables of old.
// Accuracy: as above; the precession is that of the theory.
struct MoonEcliptic {
  Angle longitude;
  Angle latitude;
  double distance_km = 0.0;
};
MoonEcliptic moon_mean_ecliptic_of_date(Tt t);

}  // namespace halfarc::sky
