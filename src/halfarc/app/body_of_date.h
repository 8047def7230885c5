// Body of date: a body of our own invention in the real geometry of an instant: as large, as tilted, as lit and turned
// as its namesake stands in the sky then, with its moons in their places.
#pragma once

#include "halfarc/app/where_body.h"
#include "halfarc/simulate/body.h"

namespace halfarc {

// The invention that stands for each body.
BodyKind invention_for(sky::Body body);

// Where a direction of the sky is seen on an image that is not mirrored: a position angle (from north through east) as
// an angle clockwise from up, when the zenith lies at `zenith` on the image.
// Valid: trains without a diagonal. Accuracy: exact. Source: docs/conventions.md.
Angle on_image(Angle position_angle, Angle parallactic, Angle zenith);

// The body as it is seen at the instant that was asked, its centre in the middle of the frame, with the surface of that
// seed. Moons move as they do over the next ten minutes.
// Valid: all bodies but the Sun. Accuracy: that of sky/disc.h; moons as sky/galilean.h.
// Errors: those of where_body.
Result<BodySpec> body_of_date(const Whereabouts& whereabouts, Angle zenith, std::uint64_t surface_seed);

// The mean of red, green and blue over the lit part of the globe, a white surface facing Sun and observer being 1.
// Valid: any body but a star. Accuracy: 2 %, that of a drawing 96 cells wide.
std::array<double, 3> mean_light(BodySpec body);

}  // namespace halfarc
