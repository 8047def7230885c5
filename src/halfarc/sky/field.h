// Field: how an altitude-azimuth mount sees the sky turn, and how long a recording may run before detail smears.
//
// Everything here is for a point carried by the turning sky (a planet's own motion is 0.3 % of that or less, the
// Moon's 4 %). Angles on the sky run from north through east; seen on the sky with the zenith up, north points the
// parallactic angle clockwise of up.
#pragma once

#include "halfarc/base/angle.h"
#include "halfarc/base/angular_rate.h"
#include "halfarc/base/duration.h"
#include "halfarc/sky/coordinates.h"

namespace halfarc::sky {

// The sky's turning: 15.0410686 deg an hour. Source: one turn in 86 164.0905 s (IERS).
inline constexpr AngularRate kSiderealRate = AngularRate::rad_per_s(7.2921150e-5);

// The angle at the body between the celestial pole and the zenith, positive west of the meridian.
// tan q = sin H / (tan phi cos d - sin d cos H). Valid: everywhere but at the zenith and the pole.
// Accuracy: exact for the airless sky.   Source: ERFA eraHd2pa.
Angle parallactic_angle(Angle hour_angle, Angle declination, Angle latitude);

// How the mount must move, and how the field turns, in one direction of the sky.
struct AltAzMotion {
  AngularRate azimuth;         // omega (sin phi - cos phi cos A tan h); grows without bound at the zenith
  AngularRate altitude;        // omega cos phi sin A: rising in the east
  AngularRate field_rotation;  // dq/dt = -omega cos phi cos A / cos h: positive turns north clockwise from up
};

// Valid: altitudes short of 90 deg.   Accuracy: exact for the airless sky; equal to the derivative of the parallactic
// angle to 1e-9 (tests/sky/field_test.cpp).   Source: [Meeus1998] ch. 13, 14.
AltAzMotion alt_az_motion(Horizontal direction, Angle latitude);

// How fast detail moves on a turning disc that is held steady in the field.
struct Smear {
  AngularRate centre;  // by the globe's spin, at the middle of the disc: pi D / period * cos(sub-observer latitude)
  AngularRate limb;    // by field rotation, at the limb: D / 2 * |dq/dt|
  AngularRate worst;   // the larger
};

// `spin` is the globe's turning as seen by the observer; `equatorial_diameter` its diameter on the sky.
// Valid: any.   Accuracy: 1 %: the flattening, and the difference of the two places on the disc, are left out.
// Source: geometry.
Smear smear(Angle equatorial_diameter, AngularRate spin, Angle sub_observer_latitude, AngularRate field_rotation);

// The longest recording in which no detail moves further than `allowed`; infinite when nothing moves.
Duration longest_run(const Smear& smear, Angle allowed);

}  // namespace halfarc::sky
