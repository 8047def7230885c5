// The straightforward pipeline of general-purpose OpenCV calls that make_bench compares with: demosaic every frame,
// grade by the Laplacian's scatter, align by phase correlation and patches by template matching, remap, add, and
// sharpen by Richardson-Lucy with a Gaussian. What is free in it is tuned against the truth, which no owner could do.
#pragma once

#include <cstddef>
#include <vector>

#include "halfarc/base/parallel.h"
#include "halfarc/base/result.h"
#include "halfarc/frames/plane.h"
#include "halfarc/frames/recording.h"
#include "halfarc/restore/accumulate.h"

namespace halfarc::bench {

struct PlainStack {
  ColourPlanes mean;
  double seconds = 0.0;
};

// Of the best `kept` share of the first `frames` frames, whole path for each of these. Valid: Bayer, 8 or 16 bits.
Result<PlainStack> plain_stack(const Recording& recording, std::size_t frames, double kept, bool patches,
                               Threads threads);

// One plane after `iterations` of Richardson-Lucy with a Gaussian of `sigma` pixels.
Plane<float> plain_sharpened(const Plane<float>& plane, double sigma, int iterations);

// Seconds that one linear remap of three float planes of this size takes, with adding them up.
double remap_and_add_seconds(int width, int height);

}  // namespace halfarc::bench
