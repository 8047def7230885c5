// Speckles: how much the frames of something bright differ from their mean, which tells a point from a disc.
//
// Through moving air the light of a point breaks up into speckles as fine as the telescope resolves, in other places
// from frame to frame. Every point of a disc does the same by itself, and where hundreds of them overlap little of it is
// left [Goodman2007] 3. Photon noise differs from sample to sample and speckles do not, so the contrast is taken from
// the products of neighbours: contrast^2 = <r(p) r(p + d)> / <m(p) m(p + d)>, with m the mean of the aligned frames,
// r what a frame differs from it, and d one pixel to the right and one down, where a mosaic has the same green.
#pragma once

#include <optional>

#include "halfarc/base/measured.h"
#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"
#include "halfarc/measure/aligned_mean.h"
#include "halfarc/measure/index.h"

namespace halfarc {

// Above it a clip shows a point. Found on simulated clips of exposures of 8 ms: points in focus and up to 5 waves from
// it 0.28 to 0.78, discs from 2.3" 0.01 to 0.22 (tests/measure/speckles_test.cpp). Long exposures wash speckles out, and
// a point then looks like a disc.
inline constexpr double kPointContrast = 0.25;

// Relative contrast of the speckles, from at most 60 frames over the clip where the mean stands above a fifth of its
// highest; nothing where too little does. Negative squares, of noise, come back as nil. The error is the scatter of the
// frames. Errors: those of reading.
Result<std::optional<Measured<double>>> speckle_contrast(const Recording& recording, const RecordingIndex& index,
                                                         const AlignedMean& mean, double background);

}  // namespace halfarc
