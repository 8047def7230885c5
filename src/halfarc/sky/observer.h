// Observer: everything about one instant at one site that does not depend on which body is looked at.
//
// Made once per instant (it holds the costly precession and nutation) and then asked for any number of bodies.
#pragma once

#include "halfarc/base/utc.h"
#include "halfarc/sky/coordinates.h"
#include "halfarc/sky/site.h"
#include "halfarc/sky/time_scales.h"
#include "halfarc/sky/vec3.h"

namespace halfarc::sky {

struct Observer {
  Site site;
  Utc utc;
  Tt tt;
  Vec3 position;             // of the observer from the barycentre of the solar system: au, ICRF
  Vec3 velocity_over_c;      // of the observer, as a fraction of the speed of light, ICRF
  Vec3 earth_centre;         // from the barycentre: au, ICRF
  Vec3 sun_centre;           // from the barycentre: au, ICRF
  Vec3 earth_velocity;       // of the Earth's centre: au per day, ICRF
  Vec3 sun_velocity;         // au per day, ICRF
  Rotation3 date_from_icrf;  // to the true equator and equinox of date
  Angle sidereal_time;       // apparent, at the site
};

// Accuracy: the Earth's place 0.005" as seen from the Sun (1900 to 2100); the site in space 15" per second of delta_t
// error seen from the Earth's centre, which shifts the Moon by 0.2" per second and nothing else noticeably. Polar
// motion (0.3") is left out.   Source: ERFA eraEpv00, eraPnm06a, eraGst06, eraPvtob.
Observer observe_from(const Site& site, Utc utc);

// The same for a point at the Earth's centre, for checks against geocentric tables. The site in it means nothing.
Observer observe_from_earth_centre(Utc utc);

// Right ascension and declination of date into azimuth and altitude at the observer, airless, and back.
Horizontal horizontal_from_equatorial(Equatorial of_date, const Observer& observer);
Equatorial equatorial_from_horizontal(Horizontal direction, const Observer& observer);

}  // namespace halfarc::sky
