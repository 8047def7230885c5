// Accumulation: the raw samples of many frames, each placed where it fell on the sky.
//
// No frame is ever demosaiced. A sample of colour c at pixel p of a frame that is shifted by d belongs at p - d of the
// reference; it is shared between the four nearest grid points of that colour's plane with bilinear weights. Because
// the air dithers the frames over several pixels, every grid point of every plane is soon covered, and the planes hold
// only light that was really measured in that colour. The sharing has a known cost, a transfer function
// sinc(fx)^2 sinc(fy)^2 (frequencies in cycles per pixel), which the restoration undoes (deconvolve.h).
// After placing many frames with evenly spread shifts this is exact; it follows from linear interpolation being the
// convolution with a triangle.
#pragma once

#include <array>
#include <cstddef>
#include <span>

#include "halfarc/base/pixel.h"
#include "halfarc/frames/plane.h"
#include "halfarc/frames/recording.h"
#include "halfarc/restore/shift_field.h"
#include "halfarc/restore/window.h"

namespace halfarc {

// Three colour planes; a mono recording uses `planes[1]` only (the others are empty).
using ColourPlanes = std::array<Plane<float>, 3>;

class Accumulator {
 public:
  Accumulator() = default;
  Accumulator(const RecordingInfo& info, const Window& window);

  // Adds one raw frame (samples as Recording::read gives them) that is shifted by `shift` against the reference.
  void add(const RecordingInfo& info, std::span<const std::byte> frame, PixelOffset shift, float weight = 1.0F);

  // The same for a frame whose parts are shifted by `field` besides, which is given at places of the reference.
  void add(const RecordingInfo& info, std::span<const std::byte> frame, PixelOffset shift, const ShiftField& field);

  // Adds everything another accumulator of the same window holds.
  void join(const Accumulator& other);

  // The weighted mean of what fell on each grid point. Points that nothing fell on (at the edges of the window, or in
  // a very short run) are filled from their nearest covered neighbours; `uncovered` says how many there were.
  struct Mean {
    ColourPlanes planes;
    std::size_t uncovered = 0;
  };
  Mean mean() const;

 private:
  Window window_;
  ColourPlanes sum_;
  ColourPlanes weight_;
};

// What the bilinear sharing does to a detail of this frequency (cycles per pixel along x and y).
double sharing_transfer(double fx, double fy);

}  // namespace halfarc
