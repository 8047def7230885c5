// Relief: random patterns on a sphere, as fine as one cares to look.
//
// A pattern is a sum of octaves of smooth random noise in space, each twice as fine and `roughness` as strong as the
// one before, cut off where details become finer than the eye's pixel: so a surface is never coarser than its image and
// never aliases. The same seed gives the same surface at any magnification.
// Valid: any. Accuracy: values about -1 to 1, mean 0. Source: [Perlin1985] (lattice noise with a smooth fade).
#pragma once

#include <cstdint>

#include "halfarc/simulate/body.h"

namespace halfarc {

struct ReliefSpec {
  double frequency = 2.0;  // of the coarsest octave, in waves a radius
  double roughness = 0.5;
  double finest = 100.0;  // waves a radius beyond which there is no more detail
};

double relief(Vector3 place, const ReliefSpec& spec, std::uint64_t seed);

}  // namespace halfarc
