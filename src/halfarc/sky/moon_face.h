// The Moon's face: libration, the tilt of its axis, the colongitude of the Sun, and the Sun's height anywhere on it.
#pragma once

#include "halfarc/sky/disc.h"

namespace halfarc::sky {

struct MoonFace {
  Angle libration_longitude;  // l: east longitude of the point that faces the observer, [-180, 180)
  Angle libration_latitude;   // b
  Angle axis_angle;           // position angle of the north pole, from north of date, [-180, 180)
  Angle colongitude;          // of the Sun: 90 deg less its east longitude; the morning terminator stands at minus this
  Angle sub_solar_longitude;  // east
  Angle sub_solar_latitude;
};

// Optical and physical libration together, from the place of the observer (diurnal libration included).
// Valid: 1900 to 2100.   Accuracy: 0.02 deg.   Source: [Archinal2011] for the axis and the prime meridian.
MoonFace moon_face(const Disc& disc);

// The Sun's height above the level horizon of a point of the Moon. Source: [Meeus1998] ch. 53.
Angle sun_altitude_on_moon(const MoonFace& face, Angle east_longitude, Angle latitude);

}  // namespace halfarc::sky
