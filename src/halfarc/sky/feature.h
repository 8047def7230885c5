// Feature: a spot on a planet that the owner follows, and when it comes to the middle of the disc.
//
// Clouds drift: a spot is known by the longitude where it was seen, in one of the planet's systems, on a date, and by
// how fast it has moved since. It is well placed about 50 minutes either side of its transit over the central meridian
// (common practice for Jupiter), when it has turned no more than 30 deg from the middle.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "halfarc/base/angular_rate.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/sky/body.h"
#include "halfarc/sky/rotation.h"
#include "halfarc/sky/site.h"

namespace halfarc::sky {

inline constexpr Duration kWellPlaced = Duration::minutes(50.0);  // either side of the transit

struct Feature {
  std::string name;
  Body body = Body::jupiter;
  Angle longitude;  // planetographic, as the IAU counts it (rotation.h), when it was measured
  LongitudeSystem system = LongitudeSystem::one;
  AngularRate drift;  // growth of its longitude
  Utc measured;
};

// [0, 360).
Angle longitude_at(const Feature& feature, Utc at);

// When the feature crosses the geometric central meridian, seen from the site, from `from` to `to`, in order; whether
// the planet is up is for the caller to say.
// Valid: planets, spans up to a few days.   Accuracy: 1 s for the longitude and drift given; a degree of Jupiter's
// System II is 1 2/3 min.   Source: disc.h.
std::vector<Utc> feature_transits(const Feature& feature, const Site& site, Utc from, Utc to);

// Comma separated lines: name,body,longitude_deg,system,drift_deg_per_day,date. The system is I, II or III (1, 2, 3);
// the drift may be left empty (0). Empty lines, lines that begin with # and a first line of column names are passed
// over. Errors say the line and what to type; `where` names the file.
Result<std::vector<Feature>> parse_features(std::string_view text, const std::string& where);

}  // namespace halfarc::sky
