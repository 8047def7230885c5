// Target view: what the sky says of a clip's target, as the plain numbers that readings need.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/base/length.h"
#include "halfarc/base/utc.h"
#include "halfarc/measure/moon_match.h"
#include "halfarc/measure/shaped_disc.h"
#include "halfarc/sky/body.h"
#include "halfarc/sky/site.h"

namespace halfarc {

struct TargetView {
  sky::Body body = sky::Body::jupiter;
  Angle equatorial_diameter;
  DiscShape shape;
  Angle pole;         // position angle of the north pole
  Angle parallactic;  // position angle of the zenith
  Angle declination;
  Angle altitude;                 // refracted
  std::optional<double> airmass;  // above the horizon only
  Length site_height;
  double sky_rate = 0.0;         // arcseconds a second that the target drifts by when the mount stands still
  std::vector<MoonPlace> moons;  // clear of the disc; those of Jupiter and Saturn
};

// Valid: all planets and the Moon, 1900 to 2100. Accuracy: as sky/disc.h, sky/field.h.
TargetView target_view(sky::Body body, const sky::Site& site, Utc utc);

}  // namespace halfarc
