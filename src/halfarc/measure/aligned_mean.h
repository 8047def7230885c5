// Aligned mean: the sharper frames of a clip put on top of each other by their centroids, each colour by itself.
//
// Every sample goes to the cell it falls into once the frame's motion is taken off; nothing is interpolated, so the
// mean's noise is that of its samples, and where they fell inside their cells is kept (SamplePlane). It is the picture
// that readings are taken from, not an image: seeing inside the frame stays as it was.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"
#include "halfarc/measure/disc_fit.h"
#include "halfarc/measure/index.h"

namespace halfarc {

struct AlignedMean {
  std::array<SamplePlane, 3> colours;  // red, green, blue; mono is green alone and leaves the others empty
  PixelPoint centroid;                 // where the frames' centroids lie in the planes
  std::size_t frames = 0;

  const SamplePlane& green() const { return colours[1]; }
  bool has_colours() const { return !colours[0].value.empty(); }
};

// The mean of the frames listed, which must have an object, around their centroids, `size` pixels square. Samples at
// full scale are left out. Reads one frame at a time. Errors: those of reading; none of the frames usable.
Result<AlignedMean> aligned_mean(const Recording& recording, const RecordingIndex& index,
                                 std::span<const std::size_t> frames, int size);

// A plane as a picture: above `background`, gaps filled from the samples around them, fading to nothing over the outer
// eighth. `beside` is the mean place of its samples against the pixels' centres.
struct Picture {
  Plane<float> samples;
  PixelOffset beside;
};
Picture picture_of(const SamplePlane& plane, double background);

// A size that leaves room around the objects of the index, even, at most `most`.
int size_for(const RecordingIndex& index, int most = 1024);

}  // namespace halfarc
