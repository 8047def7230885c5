// Turning: the rotation model of a body for one site around one instant (base/rotation_model.h).
#pragma once

#include "halfarc/base/rotation_model.h"
#include "halfarc/sky/body.h"
#include "halfarc/sky/rotation.h"
#include "halfarc/sky/site.h"

namespace halfarc::sky {

// Quadratics through three instants: the reference and `half_span` before and after.
// Valid: bodies with the named system of longitude (else the body's first is taken), half spans of 1 min to 3 h, not
// within 5 deg of the zenith.   Accuracy: 0.002 deg within the span, the field 0.01 deg; within 10 deg of the zenith
// 0.1 deg. Source: disc.h, field.h.
RotationModel rotation_model(Body body, LongitudeSystem system, const Site& site, Utc reference,
                             Duration half_span = Duration::minutes(30.0));

}  // namespace halfarc::sky
