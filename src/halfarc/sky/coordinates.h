// The spherical coordinates of the sky, each frame its own type, and distances in astronomical units.
#pragma once

#include "halfarc/base/angle.h"
#include "halfarc/base/length.h"

namespace halfarc::sky {

// Right ascension and declination, in the frame that the name says (ICRF, or true equator and equinox of date).
struct Equatorial {
  Angle ra;
  Angle dec;
};

// Azimuth from north through east, altitude above the mathematical horizon.
struct Horizontal {
  Angle azimuth;
  Angle altitude;
};

// Source: IAU 2012 resolution B2 (exact).
inline constexpr double kMetresPerAu = 149597870700.0;

constexpr Length astronomical_units(double au) { return Length::m(au * kMetresPerAu); }
constexpr double in_astronomical_units(Length l) { return l.m() / kMetresPerAu; }

}  // namespace halfarc::sky
