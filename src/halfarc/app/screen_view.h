// ScreenView: planes of light as a picture to look at: stretched, turned and enlarged.
#pragma once

#include <string>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/frames/plane.h"

namespace halfarc {

struct ScreenView {
  double zoom = 1.0;  // 4 shows one pixel as four; below 1 pixels are averaged
  int turn = 0;       // degrees clockwise: 0, 90, 180 or 270
  bool flip = false;  // left to right, before the turn
  float black = 0.0F, white = 1.0F;
  bool screen_curve = true;  // else in proportion
};

// The level that `share` of the samples of all planes stay below; NaN is passed over. Nil without samples.
float level_below(const std::vector<Plane<float>>& planes, double share);

// One plane (grey) or three (red, green, blue) of one size, as the bytes of a PNG of eight bits. Enlarged by linear
// interpolation between the centres of pixels. Errors (bad input): longer than 4096 pixels on a side.
Result<std::string> screen_view(const std::vector<Plane<float>>& planes, const ScreenView& view);

}  // namespace halfarc
