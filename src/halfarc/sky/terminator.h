// Terminator: how fast the line between day and night creeps over the ground, and how fast that is seen.
//
// Near the terminator a picture is all shadows, and they move: a recording of the Moon may not run longer than the line
// takes to creep over the finest detail. The motion told here is that against the ground, at right angles to the line.
#pragma once

#include <optional>

#include "halfarc/base/angular_rate.h"
#include "halfarc/base/speed.h"
#include "halfarc/base/utc.h"
#include "halfarc/sky/body.h"
#include "halfarc/sky/site.h"

namespace halfarc::sky {

struct TerminatorMotion {
  Angle latitude;            // planetocentric, as asked
  Angle east_longitude;      // of the body's first system
  bool sunrise = true;       // day follows; else night
  AngularRate sun_altitude;  // how fast the Sun climbs there, negative where it sinks
  Speed over_ground;         // never negative
  AngularRate on_sky;        // the same, foreshortened and seen from the site; never negative
};

// The point of the terminator at a planetocentric latitude that faces the site best. Nothing where the Sun does not
// rise or set at that latitude, where no such point is in sight (near new and full phase), and for the Sun.
// With s the direction of the Sun in the body's frame, s' its rate, p the point (p.s = 0), u the direction of the
// observer and t = p x s along the line: over the ground |p.s'|, on the sky |p.s'| (p.u) / sqrt(1 - (t.u)^2) radii.
// Valid: all bodies but the Sun, 1750 to 2250; for Venus and the giants the motion against the turning globe of the
// body's first system, not against its clouds.   Accuracy: 1 %: the globe is taken as a sphere, without relief, and the
// Sun as a point.   Source: geometry; checked against the terminator's displacement (tests/sky/terminator_test.cpp).
std::optional<TerminatorMotion> terminator_motion(Body body, const Site& site, Utc at, Angle latitude);

}  // namespace halfarc::sky
