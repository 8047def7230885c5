// Night: from noon to noon at a site: when the Sun is down, how dark it gets, and which night a date or an instant
// means.
#pragma once

#include <optional>

#include "halfarc/base/utc.h"
#include "halfarc/sky/night_track.h"

namespace halfarc::sky {

// From the evening crossing of an altitude to the morning one; either may be missing at high latitudes.
struct DarkSpan {
  std::optional<Utc> begins;
  std::optional<Utc> ends;
};

struct Night {
  Utc noon_before, noon_after;  // local mean noon
  DarkSpan sun_down;            // sunset to sunrise
  DarkSpan civil, nautical, astronomical;
  Angle lowest_sun;   // the Sun's lowest altitude
  Angle highest_sun;  // and its highest
  Utc darkest;        // when it is lowest

  bool sun_never_sets() const { return !sun_down.begins && !sun_down.ends && lowest_sun > Angle::deg(-0.83); }
  bool sun_never_rises() const { return !sun_down.begins && !sun_down.ends && highest_sun < Angle::deg(-0.83); }
};

// Local mean noon before the evening of that calendar date, which is counted by the Sun at the site, not by a clock.
// `date` is any instant of the UTC day that bears the date.
Utc noon_of(Utc date, const Site& site);

// The noon before the night that an instant belongs to: until the Sun has risen, the night that has been; from then on
// the one that comes.
Utc noon_before_tonight(Utc now, const Site& site);

// Valid: any latitude.   Accuracy: as rise_set.h.
Night night_of(const NightTrack& noon_to_noon);

}  // namespace halfarc::sky
