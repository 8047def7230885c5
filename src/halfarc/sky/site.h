// Site: where the telescope stands, and the air it looks through.
#pragma once

#include <string_view>

#include "halfarc/base/angle.h"
#include "halfarc/base/length.h"
#include "halfarc/base/result.h"
#include "halfarc/base/weather.h"

namespace halfarc::sky {

struct Site {
  Angle latitude;   // geodetic (WGS84), positive north
  Angle longitude;  // positive east
  Length height;    // above the ellipsoid; the sea level of maps is within 100 m of it
};

// "LATITUDE,LONGITUDE,HEIGHT" as people write it: "57.1,-2.1,12", "57.1N 2.1W 12 m", "57 06 30 N, 2 06 W". North and
// east without a letter are positive. The height in metres may be left out (0).
// Errors: what is missing or out of range, and an example of what to type.
Result<Site> parse_site(std::string_view text);

using halfarc::Weather;

// A quiet night: 10 degC, 70 % humidity, pressure of the standard atmosphere at that height.
// Valid: 0 to 11 km.   Accuracy: weather moves the pressure by 3 % either way.   Source: [ISO2533] troposphere.
Weather usual_weather(Length height);

}  // namespace halfarc::sky
