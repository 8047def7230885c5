// Spots: small bright points beside a disc, moons for the most part, in a mean of whole frames.
//
// The frames are laid on each other by the disc's centroid, in five blocks one after another. Points are looked for in
// the mean of the blocks, where a narrow smoothing stands out of a wide one; the place of each is measured in every
// block by itself, and the scatter of the blocks is its standard error.
#pragma once

#include <span>
#include <vector>

#include "halfarc/base/pixel.h"
#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"
#include "halfarc/measure/index.h"

namespace halfarc {

struct Spot {
  PixelOffset at;      // from the frames' centroid
  PixelOffset sigma;   // Student's, with four degrees of freedom
  double light = 0.0;  // ADU above what surrounds it
};

struct SpotsAsked {
  PixelPoint place;      // of the disc on the sensor, in most frames
  double nearest = 0.0;  // pixels from the centroid: nothing is looked for on the disc and in its glow
  double blur = 2.0;     // standard deviation of a point, pixels
};

// The brightest 8 at most, brightest first, from 60 frames at most of those listed. Valid: blur 0.5 to 20 pixels.
// Accuracy: a tenth of the blur, or better for brighter spots; tested against simulated moons
// (tests/app/clip_moons_test.cpp). Errors: those of reading.
Result<std::vector<Spot>> spots_beside(const Recording& recording, const RecordingIndex& index,
                                       std::span<const std::size_t> frames, const SpotsAsked& asked);

}  // namespace halfarc
