// Smear: how far the picture moved while single exposures lasted.
//
// Aligning exposures removes the motion between them, not the motion within. But how far exposures lie from each other
// 1, 2, 3 frames apart tells how the picture moves, and from that follows its spread within one exposure. What is
// fitted is motion that forgets itself with a lifetime (air/changing_air.h), plus an error of every single place, which
// the motion has to stand out of.
#pragma once

#include <cstddef>
#include <span>

#include "halfarc/base/pixel.h"

namespace halfarc {

// Where the picture lay in a frame.
struct PlacedFrame {
  std::size_t number = 0;
  PixelOffset shift;
};

// Rms spread of the picture within one exposure, one axis, pixels. `frames` ascending by number; pairs up to
// `most_apart` frames apart are looked at. 0 where fewer than 16 pairs of each distance are there, and where
// neighbours lie as far from each other as any two frames: then nothing tells motion from errors.
// Accuracy: 15 % of frames of one scene through frozen air (tested on simulated runs); not where the motion is slow
// against the errors of the places, and then it does not matter.
double smear_within_exposures(std::span<const PlacedFrame> frames, std::size_t most_apart, double exposure);

}  // namespace halfarc
