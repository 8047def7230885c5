// Luminance: one grey picture of a raw frame that every colour contributes to, used to find where a frame lies.
//
// A mosaic frame is smoothed with the binomial kernel (1 2 1; 2 4 2; 1 2 1) / 16. That kernel is zero at the spatial
// frequencies of the two-pixel colour pattern, so the pattern vanishes whatever the colours are, and every pixel of
// the result holds R/4 + G/2 + B/4. Mono frames are smoothed alike; RGB frames are first added as R/4 + G/2 + B/4.
#pragma once

#include <cstddef>
#include <span>

#include "halfarc/frames/plane.h"
#include "halfarc/frames/recording.h"
#include "halfarc/restore/window.h"

namespace halfarc {

// The luminance of the part `window` of one raw frame (its samples exactly as Recording::read gives them), in ADU.
// `out` has the window's size. Edge samples repeat outwards.
void luminance(const RecordingInfo& info, std::span<const std::byte> frame, const Window& window, Plane<float>& out);

}  // namespace halfarc
