// Craters: where an invented globe was hit, how large, and the shape that each hit left.
//
// Craters of a size and more are as many as the inverse square of the size, so that every octave covers an equal share
// of the ground; fewer lie on the plains. Each belongs to a cell of a lattice in space, by a hash of the cell and the
// seed: the same globe at any magnification. Small craters are bowls a fifth as deep as wide; beyond `kSimpleDiameter`
// they grow flatter, with a level floor and, when fresh, a hill in the middle. Lengths are in radii of the globe.
// Valid: a dry airless globe. Accuracy: shapes after the laws of depth and rim for the Moon in [Pike1977] (from
// memory).
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "halfarc/simulate/body.h"

namespace halfarc {

// About 15 km on a globe of 1737 km.
inline constexpr double kSimpleDiameter = 0.0087;

struct Crater {
  Vector3 centre;  // a unit vector, in the body's own axes
  double radius = 0.0;
  double freshness = 1.0;  // 0.15, worn down, to 1
};

// The height of ground that was level before, at a distance from the centre in radii of the crater; nil beyond 2.5.
// Valid: distance >= 0. Accuracy: as above. Source: [Pike1977].
double crater_height(const Crater& crater, double distance);
inline constexpr double kCraterReach = 2.5;

// The craters with diameters between `smallest` and `largest` near any of the given places (unit vectors, as close to
// each other as `spacing`), largest octave first; `kept` is the share that a place keeps. The order belongs to the
// seed. Valid: smallest > 0. Accuracy: counts within Poisson's error.
std::vector<Crater> craters_near(const std::function<std::vector<Vector3>(double spacing)>& places, double smallest,
                                 double largest, const std::function<double(Vector3)>& kept, std::uint64_t seed);

}  // namespace halfarc
