// Clip colours: how far red and blue lie from green on the mean of a disc's frames, by the detail that they share.
//
// The error has three parts. That of the detail itself comes from its coherence (restore/colour_align.h). The frames
// are also taken in four stretches of the clip: when their offsets scatter more than coherence allows, it grows by as
// much, so a short mean in moving air is not believed too well. And markings that differ from colour to colour pull the
// same way in all frames: found on practice discs, 0.04 % of the diameter. An over-exposed disc is cut off at two
// levels below full scale, alike in all colours, and limb and what is left of the face are compared; the levels'
// difference is part of the error.
#pragma once

#include <optional>
#include <span>

#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"
#include "halfarc/measure/aligned_mean.h"
#include "halfarc/measure/colour_shift.h"
#include "halfarc/measure/index.h"

namespace halfarc {

// `mean` is that of the frames listed. Nothing for mono, or when the colours share nothing.
// Accuracy: 0.0083" rms over 12 simulated 9" discs in r0 = 8 cm, z-scores of rms 0.7; over-exposed 0.044", 0.8
// (tests/app/clip_colours_test.cpp). Errors: those of reading.
Result<std::optional<ColourShift>> clip_colours(const Recording& recording, const RecordingIndex& index,
                                                std::span<const std::size_t> frames, const AlignedMean& mean,
                                                double background, double diameter, bool over_exposed);

}  // namespace halfarc
