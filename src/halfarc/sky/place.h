// Place: where a body stands for one observer at one instant, and the vectors from which its disc is drawn.
#pragma once

#include "halfarc/sky/body.h"
#include "halfarc/sky/coordinates.h"
#include "halfarc/sky/observer.h"

namespace halfarc::sky {

struct Place {
  Equatorial astrometric;  // topocentric, ICRF: light time only
  Equatorial
      apparent;  // topocentric, true equator and equinox of date, with aberration and bending by the Sun; airless
  Horizontal horizontal;  // of the apparent place, airless
  Angle hour_angle;       // of the apparent place, positive west
  Length distance;        // from the observer to where the body was when the light left
  Length sun_distance;    // of the body then, from the Sun; zero for the Sun
  Duration light_time;
  Vec3 from_observer;  // observer to body at light time: au, ICRF
  Vec3 from_sun;       // Sun to body at light time: au, ICRF
};

// Valid: 1800 to 2200, best 1900 to 2100.   Accuracy: against JPL's topocentric tables 2012 to 2034 (astrometric, whose
// last digit is 0.04"): see docs/decisions/0010-ephemeris.md for the figure of each body; altitude and azimuth 0.003
// deg while delta_t is known.   Source: ERFA eraAb, eraLd; planet_series.h, moon_series.h.
Place place_of(Body body, const Observer& observer);

// An airless direction turned from the ICRF into the apparent place of date, as place_of does for a body at
// `distance_au` (needed for the bending of light only).
Equatorial apparent_of(Vec3 from_observer, Vec3 from_sun, const Observer& observer);

// The angle between two bodies as seen by one observer, airless.
Angle separation(const Place& a, const Place& b);

}  // namespace halfarc::sky
