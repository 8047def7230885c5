// A ray close to the axis: how high it runs and how steeply. Slopes are heights over distances in air, so that a plate
// of glass is a shorter distance (its thickness over its index) and nothing else.
// Valid: angles whose sine is as good as their tangent. Accuracy: exact in that limit. Source: [BornWolf1999] 4.4.
#pragma once

#include "halfarc/base/length.h"

namespace halfarc {

struct ParaxialRay {
  Length height;
  double slope = 0.0;
};

inline ParaxialRay carried(ParaxialRay ray, Length distance) { return {ray.height + distance * ray.slope, ray.slope}; }

// Through a thin lens; a converging one has a positive focal length. The same in either direction.
inline ParaxialRay refracted(ParaxialRay ray, Length focal_length) {
  return {ray.height, ray.slope - ray.height / focal_length};
}

// How much nearer to the lens the light's focus would be without a plate in its way: t (1 - 1/n). Putting the plate in
// moves the focus outwards by that. Valid: index >= 1. Accuracy: exact, paraxial. Source: [BornWolf1999] 4.4.
inline Length plate_shift(Length thickness, double index) { return thickness * (1.0 - 1.0 / index); }

}  // namespace halfarc
