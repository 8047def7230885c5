// Disc: how a body's disc looks from the observer: size, phase, which side faces us, which way is up.
//
// Planetocentric latitude is the angle at the centre; planetographic latitude that of the local horizon, larger by up
// to 3.9 deg on Jupiter and 6.0 deg on Saturn. Longitudes are planetographic (rotation.h says which way they grow). All
// is geometric: as the light left the body, with no correction for the phase.
#pragma once

#include <optional>

#include "halfarc/sky/place.h"
#include "halfarc/sky/rotation.h"

namespace halfarc::sky {

// A point of the globe that faces somebody.
struct SubPoint {
  Angle planetocentric_latitude;
  Angle planetographic_latitude;
  std::array<std::optional<Angle>, 3> longitude;  // [0, 360), in systems I, II, III as the body has them

  std::optional<Angle> in(LongitudeSystem system) const { return longitude[static_cast<std::size_t>(system)]; }
};

struct Disc {
  Angle equatorial_diameter;
  Angle polar_diameter;  // as seen: the full flattening only when the equator faces us
  Angle phase_angle;     // Sun - body - observer
  double illuminated_fraction = 1.0;
  Angle bright_limb;  // position angle of the middle of the bright limb
  Angle pole_angle;   // position angle of the north pole
  SubPoint sub_observer;
  SubPoint sub_solar;
};

// Position angles run from celestial north of date through east, [0, 360).
// Valid: all bodies, 1900 to 2100.   Accuracy: latitudes and pole angle 0.01 deg; longitudes as the body's clock is
// known; diameters 1e-4.   Omits: the difference between airless and refracted shape (air/). Source: [Archinal2018];
// [Meeus1998] ch. 41 to 43, 48, 53.
Disc disc_of(Body body, const Place& place, const Observer& observer);

// The central meridian with Meeus's correction for the phase: what seems to be the middle of the lit part of a globe
// seen nearly full. Source: [Meeus1998] ch. 43: 57.2958 sin^2(i/2), towards the lit side.
Angle phase_corrected(Angle central_meridian, Angle phase_angle, bool sun_is_ahead);

// The position angle, from north of date through east, of the direction `towards` as seen along `line_of_sight`.
Angle position_angle(Vec3 line_of_sight_icrf, Vec3 towards_icrf, const Observer& observer);

// From the centre to the edge of an oblate globe seen from the planetocentric latitude, along its axis.
double apparent_polar_ratio(double polar_over_equatorial, Angle planetocentric_latitude);

}  // namespace halfarc::sky
