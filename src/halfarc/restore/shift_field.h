// ShiftField: how far each part of a frame lies from where the whole of it lies.
//
// Air at a height is seen through other parts from other directions, so within one exposure parts of a picture are
// moved against each other (anisoplanatism), smoothly: a few values on a wide grid hold it all. Between the nodes it is
// linear; beyond the outermost it stays as it is there.
#pragma once

#include "halfarc/base/pixel.h"
#include "halfarc/frames/plane.h"

namespace halfarc {

struct ShiftField {
  int spacing = 1;  // pixels between nodes; node (0, 0) lies at pixel (0, 0)
  Plane<float> x;   // pixels; nothing at all where empty
  Plane<float> y;

  bool empty() const { return x.empty(); }
};

// The shift at one place. Valid: any place; a field that is not empty.
PixelOffset shift_at(const ShiftField& field, PixelPoint place);

}  // namespace halfarc
