// Trust: where on the picture the restored detail is real.
//
// Two restored halves are compared in small neighbourhoods. Detail is what is left after a wide smooth copy has been
// taken off; where both halves show the same detail, trust is near 1; where they show only noise, near 0:
//     t = <a b> / ((<a^2> + <b^2>) / 2),  trust of their mean = 2 t / (1 + t), both cut to 0..1.
#pragma once

#include "halfarc/frames/plane.h"

namespace halfarc {

// `detail_size` is the Gaussian sigma (pixels) of the smooth copy that is taken off, `neighbourhood` the sigma over
// which products are averaged. Result: same size, 0..1.
Plane<float> trust_map(View<const float> half_a, View<const float> half_b, double detail_size, double neighbourhood);

}  // namespace halfarc
