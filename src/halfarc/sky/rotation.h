// Rotation: where a body's axis points and how far it has turned.
#pragma once

#include <array>
#include <optional>
#include <span>

#include "halfarc/sky/body.h"
#include "halfarc/sky/coordinates.h"
#include "halfarc/sky/field.h"
#include "halfarc/sky/time_scales.h"
#include "halfarc/sky/vec3.h"

namespace halfarc::sky {

// The clocks by which longitudes are counted. Jupiter and Saturn have three (I for the clouds of the equator, II for the
// rest, III the magnetic field); Uranus and Neptune have the magnetic one, which counts as I; a solid body has one, I.
// Saturn's I and II are conventions of observers: turning exactly 844.3 and 812 deg a day, their zeros from memory, so
// compare one of your own measurements with somebody else's before you mix longitudes.
enum class LongitudeSystem { one, two, three };

// "I", "II" or "III".
std::string_view name_of(LongitudeSystem system);

// The systems that a body has, in order.
std::span<const LongitudeSystem> systems_of(Body body);

// The north pole (of the IAU: on the side of the ecliptic's north), ICRF.
// Valid: 1900 to 2100.   Accuracy: as the report's; 0.004 deg for the Moon.   Source: [Archinal2018]; Moon
// [Archinal2011].
Equatorial north_pole(Body body, Tt t);

// The angle from the ascending node of the body's equator on the ICRF equator to the prime meridian; nothing if the
// body has no such system.   Valid, Accuracy, Source: as north_pole.
std::optional<Angle> prime_meridian(Body body, LongitudeSystem system, Tt t);

// How fast the globe turns about its north pole, negative for Venus and Uranus.
AngularRate spin_rate(Body body, LongitudeSystem system);

// The axes of the body's own frame in the ICRF: z to the north pole, x to the prime meridian.
Rotation3 body_from_icrf(Body body, LongitudeSystem system, Tt t);

// Whether longitudes on the body's maps grow towards its east. By the IAU's rule for planetographic longitude the
// central meridian grows with time, which is west for bodies that turn forward and east for Venus and Uranus; Sun and
// Moon by old use count east.
bool counts_longitude_eastward(Body body);

}  // namespace halfarc::sky
