// NightTrack: the sky of one site through one night, computed once every half hour and read at any instant.
//
// Hour angle, declination and distance run so smoothly that cubics through four half-hourly places give the full
// ephemeris back within 0.05", Moon included, at a thousandth of its cost: what planning and drawing need.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "halfarc/base/utc.h"
#include "halfarc/sky/body.h"
#include "halfarc/sky/coordinates.h"
#include "halfarc/sky/rise_set.h"
#include "halfarc/sky/site.h"

namespace halfarc::sky {

class NightTrack {
 public:
  // For the bodies named, and always the Sun; others read as standing at zero.
  // Valid: from < to, at most a few days.   Accuracy: 0.05" in direction, 1e-7 in distance, within [from, to].
  NightTrack(const Site& site, Utc from, Utc to, std::span<const Body> bodies = kAllBodies);

  Utc from() const { return from_; }
  Utc to() const { return to_; }
  const Site& site() const { return site_; }

  Equatorial apparent(Body body, Utc at) const;    // of date, topocentric, airless
  Angle hour_angle(Body body, Utc at) const;       // [-180, 180) deg
  Horizontal horizontal(Body body, Utc at) const;  // airless
  Length distance(Body body, Utc at) const;
  Angle separation(Body a, Body b, Utc at) const;

  // As rise_transit_set and altitude_crossings of rise_set.h, within [from, to].
  std::vector<SkyEvent> rise_transit_set(Body body) const;
  std::vector<Crossing> altitude_crossings(Body body, Angle altitude) const;

 private:
  struct Node {
    double hour_angle = 0.0;  // rad, unwrapped along the night
    double declination = 0.0;
    double right_ascension = 0.0;  // unwrapped
    double distance_m = 0.0;
  };
  Node read(Body body, Utc at) const;

  Site site_;
  Utc from_, to_, start_;
  std::array<std::vector<Node>, kAllBodies.size()> nodes_;
};

}  // namespace halfarc::sky
