// Clip colours: how far red and blue lie from green on the mean of a disc's frames, by the detail that they share.
//
// The error has three parts. That of the detail itself comes from its coherence (restore/colour_align.h). The frames
// are also taken in four stretches of the clip: when their offsets scatter more than coherence allows, it grows by as
// much, so a short mean in moving air is not believed too well. And markings that differ from colour to colour pull the
// same way in all frames: a limb under a blur of width s moves by s^2 times the slope of the logarithm of the
// brightness behind it, and that slope goes with 1 / diameter. Found on 24 simulated discs, of 1 to 3.5" of seeing and
// 78 and 245 pixels, alike on all: a quarter of s^2 / diameter. An over-exposed disc is cut off at two levels below
// full scale, alike in all colours, and limb and what is left of the face are compared; the levels' difference is part
// of the error, and markings pull much more where the face is lost.
#pragma once

#include <optional>
#include <span>

#include "halfarc/base/parallel.h"
#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"
#include "halfarc/measure/aligned_mean.h"
#include "halfarc/measure/colour_shift.h"
#include "halfarc/measure/index.h"

namespace halfarc {

// How the disc looks, in pixels.
struct DiscLook {
  double diameter = 0.0;
  std::optional<double> blur;  // sigma; nothing: not known, and an eighth of the diameter is allowed for
  bool over_exposed = false;
};

// `mean` is that of the frames listed. Nothing for mono, or when the colours share nothing.
// Accuracy: halfarc-accuracy --only colour-offset; tests/app/clip_colours_test.cpp. Errors: those of reading.
Result<std::optional<ColourShift>> clip_colours(const Recording& recording, const RecordingIndex& index,
                                                std::span<const std::size_t> frames, const AlignedMean& mean,
                                                double background, const DiscLook& look, Threads threads = {});

}  // namespace halfarc
