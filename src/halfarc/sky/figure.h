// Figure: how large and how flattened the bodies are.
#pragma once

#include "halfarc/base/length.h"
#include "halfarc/sky/body.h"

namespace halfarc::sky {

struct Figure {
  Length equatorial;  // radius
  Length polar;       // radius

  double flattening() const { return 1.0 - polar / equatorial; }
};

// Valid: all bodies.   Accuracy: 1 km for the solid ones, 5 to 30 km for the giants, at the level of 1 bar of pressure.
// Venus: the cloud tops that a telescope shows, not the solid surface 48 km below.
// Source: [Archinal2018] tables 4 to 6; Venus's clouds: semidiameter 8.41" at 1 au, Meeus ch. 55.
Figure figure_of(Body body);

}  // namespace halfarc::sky
