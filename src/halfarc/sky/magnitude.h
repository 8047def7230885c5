// Magnitude: how bright a body is, as a whole and per square arcsecond.
#pragma once

#include <optional>

#include "halfarc/base/angle.h"
#include "halfarc/sky/disc.h"

namespace halfarc::sky {

// What the published formulae need; fields that a planet does not use are ignored.
struct Illumination {
  double sun_distance_au = 1.0;
  double distance_au = 1.0;
  Angle phase_angle;
  Angle sub_solar_latitude;      // Saturn: planetocentric; Uranus: planetographic
  Angle sub_observer_latitude;   // likewise
  Angle sub_solar_longitude;     // Mars: planetographic, west
  Angle sub_observer_longitude;  // likewise
  Angle heliocentric_longitude;  // Mars: on the ecliptic
  double year = 2000.0;          // Neptune
  bool rings = true;             // Saturn
};

// The visual magnitude V; nothing where the formulae do not reach (Saturn with rings beyond 6.5 deg of phase or 27 deg
// of tilt: from the Earth that never happens; Neptune beyond 1.9 deg before 2000).
// Valid: planets, as seen from the Earth.   Accuracy: the authors' 26 cases to 0.001; the sky to about 0.05.
// Source: [Mallama2018]. The Moon: [Allen1976] (from memory), good to 0.1 beyond 2 deg from full.
std::optional<double> visual_magnitude(Body body, const Illumination& illumination);

// The Earth's, seen from another planet: the one row of the formulae that halfarc points no telescope at.
// Valid, Accuracy, Source: as visual_magnitude.
double earth_magnitude(double sun_distance_au, double distance_au, Angle phase_angle);

Illumination illumination_of(Body body, const Place& place, const Disc& disc, const Observer& observer);

// The mean over the lit part of the disc, in magnitudes per square arcsecond; of Saturn's globe alone.
// Valid, Accuracy, Source: as visual_magnitude.
std::optional<double> surface_magnitude(Body body, Illumination illumination, const Disc& disc);

}  // namespace halfarc::sky
