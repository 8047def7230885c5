// Band power: how much a picture of quads varies over a few pixels, and how much of that its noise alone would make.
//
// Boxes of 3 x 3 quads are compared with the four boxes that touch them (measure/index.h says why). In units of one
// quad's sum: both are sums over the quads of the squared comparison of a box's mean quad with that of its neighbours.
#pragma once

#include <span>
#include <vector>

#include "halfarc/measure/index_kernels.h"

namespace halfarc {

struct BandPower {
  float seen = 0.0F;
  float noise = 0.0F;  // expected of white noise, from the diagonal second difference of quads on every fourth row
};

// `quads` holds wide x tall sums. Pictures taller than 96 quads have boxes on every third row, else on every row;
// both are scaled to all rows. Zero when there is no room for a box and its neighbours. `scratch` spares allocations.
BandPower band_power(std::span<const float> quads, int wide, int tall, const BandKernels& kernels,
                     std::vector<float>& scratch);

}  // namespace halfarc
