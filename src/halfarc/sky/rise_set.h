// Rise, transit and set; the twilights; and the search for the instants at which any altitude is reached.
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "halfarc/base/utc.h"
#include "halfarc/sky/body.h"
#include "halfarc/sky/observer.h"
#include "halfarc/sky/place.h"

namespace halfarc::sky {

struct Crossing {
  Utc at;
  bool upward = true;
};

// All instants in [from, to] at which `value` (an angle that changes smoothly, with at most one maximum or minimum in a
// `step`) passes through zero, in order, to 0.05 s. A touch from one side that the step would jump over is found as
// well, by following the turn.
std::vector<Crossing> zero_crossings(const std::function<Angle(Utc)>& value, Utc from, Utc to, Duration step);

// The airless altitude of a body's centre when its upper limb appears at a level horizon: 34' of refraction, and the
// semidiameter (Sun 16', as almanacs use; Moon as it is that moment; planets and stars none).
// Source: the almanac's convention (Meeus ch. 15).
Angle standard_altitude(Body body, const Place& place);

enum class SkyEventKind { rise, transit, set };

struct SkyEvent {
  SkyEventKind kind = SkyEventKind::rise;
  Utc at;
  Angle azimuth;   // of the centre
  Angle altitude;  // airless
};

// The rises, transits and sets of a body in [from, to], in order of time.
// Valid: all latitudes; near the poles there may be none for months.   Accuracy: within 1 min of USNO's tables in the
// years their delta T agrees (tests/published/rise_set_test.cpp); real horizons and weather move them by minutes.
std::vector<SkyEvent> rise_transit_set(Body body, const Site& site, Utc from, Utc to);

// When the centre of a body passes an airless altitude.
std::vector<Crossing> altitude_crossings(Body body, const Site& site, Angle altitude, Utc from, Utc to);

// The altitudes of the Sun's centre (airless) that bound the twilights.
inline constexpr Angle kCivilTwilight = Angle::deg(-6.0);
inline constexpr Angle kNauticalTwilight = Angle::deg(-12.0);
inline constexpr Angle kAstronomicalTwilight = Angle::deg(-18.0);

}  // namespace halfarc::sky
