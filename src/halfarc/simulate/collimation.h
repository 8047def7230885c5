// Collimation: three screws behind a small mirror, each of which tilts it and so brings coma and moves the image.
//
// What a tilt does to coma and to the place of the star is in optics/tilt_coma.h.
//
// The mirror pivots in its middle; turning one screw in by its pitch tilts it by pitch / (3/2 circle), and all three by
// the same do nothing: only two of the three directions are free.
#pragma once

#include <array>

#include "halfarc/base/angle.h"
#include "halfarc/base/pixel.h"
#include "halfarc/simulate/optics_change.h"

namespace halfarc {

struct CollimationScrew {
  Angle direction;  // in which its turn clockwise makes coma point on the image, clockwise from up
  double coma_waves_per_turn = 0.0;
  SkyOffset image_per_turn;
  double turns = 0.0;  // by the hand, clockwise, since the beginning
};

struct Collimation {
  OpticsError at_first;  // coma as the telescope was carried out
  std::array<CollimationScrew, 3> screws;
};

// Coma and image as the screws now stand. Valid: any. Accuracy: exact as stated.
OpticsError coma_of(const Collimation& collimation);
SkyOffset image_shift(const Collimation& collimation);

// The turns of two of the screws (never of the third, the one that is needed least) that bring coma to nothing.
// Valid: screws in three directions. Accuracy: exact.
std::array<double, 3> turns_to_collimate(const Collimation& collimation);

}  // namespace halfarc
