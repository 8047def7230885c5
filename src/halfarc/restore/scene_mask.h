// MaskedScene mask: where on the picture the scene is, softly, so that statistics of detail do not see empty sky.
#pragma once

#include "halfarc/frames/plane.h"

namespace halfarc {

struct MaskedScene {
  Plane<float> mask;    // 1 well inside the bright scene, 0 outside and at its edge, smooth between
  float sky = 0.0F;     // level of the empty part, or 0 if the scene fills the picture
  double filled = 0.0;  // share of the picture that the scene covers
};

// The scene is what rises above a quarter of the way from the sky to the bright level of the smoothed picture. `edge`
// is the width in pixels over which the mask fades inwards. A scene that fills the picture is faded at the borders
// only.
MaskedScene scene_mask(View<const float> picture, double edge);

}  // namespace halfarc
