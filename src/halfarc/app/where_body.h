// Where: where a body is for one site at one instant, and how its disc looks. The use case behind `halfarc where`.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "halfarc/base/angular_rate.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/sky/disc.h"
#include "halfarc/sky/moon_face.h"
#include "halfarc/sky/moon_offset.h"
#include "halfarc/sky/place.h"
#include "halfarc/sky/saturn_ring.h"
#include "halfarc/sky/site.h"
#include "halfarc/sky/sun_safety.h"
#include "halfarc/sky/terminator.h"

namespace halfarc {

struct WhereRequest {
  sky::Body body = sky::Body::jupiter;
  sky::Site site;
  std::string site_name;  // may be empty
  Utc utc;
  std::optional<sky::Weather> weather;  // the usual night's when not given
  sky::SunRule sun_rule;
  std::optional<sky::Horizontal> slew_from;  // where the telescope points now
};

struct NamedMoon {
  std::string name;
  sky::MoonOffset offset;
};

struct Whereabouts {
  WhereRequest asked;
  sky::Place place;
  sky::Disc disc;
  Angle refracted_altitude;
  std::optional<double> airmass;  // above the horizon only
  std::optional<double> magnitude;
  std::optional<double> surface_magnitude;  // per square arcsecond
  std::optional<sky::SaturnRing> ring;
  std::optional<sky::MoonFace> moon;
  std::vector<sky::TerminatorMotion> terminator;  // of the Moon, at its equator and 60 deg north and south, where seen
  std::vector<NamedMoon> satellites;
  Angle parallactic;
  AngularRate field_rotation;
  Angle sun_separation;
  bool sun_is_up = false;
  std::optional<Angle> nearest_sun_on_slew;  // over all ways there; when the Sun is up and it was asked where from
  std::vector<std::string> cautions;
};

// Errors: an instant outside 1750 to 2250 (bad input); the Sun is up and too near, on the
// way there too, or is the target (refused).
Result<Whereabouts> where_body(const WhereRequest& request);

}  // namespace halfarc
