// Focus spectrum: how much detail of each fineness a clip of a through-focus series holds.
//
// The clip's frames are laid on top of each other by their centroids, in two halves that take turns. Detail
// that both halves share is real; what only one has is noise: the cross spectrum of the halves, averaged over rings of
// frequency and divided by the clip's light, tells the amplitude of detail. Clips of one target differ in it only by
// focus and air, so the target itself need not be known: a planet serves as well as a star.
#pragma once

#include <array>

#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"
#include "halfarc/measure/clip_optics.h"
#include "halfarc/measure/index.h"

namespace halfarc {

// The middles of the rings, as shares of the telescope's cut-off: 0.10, 0.14, ... 0.62.
constexpr std::size_t kFocusRings = 14;
constexpr double kFirstRing = 0.10, kRingStep = 0.04;
constexpr double ring_share(std::size_t ring) { return kFirstRing + kRingStep * static_cast<double>(ring); }

struct FocusSpectrum {
  std::array<double, kFocusRings> amplitude{};  // natural logarithm, of the share of all light
  std::array<double, kFocusRings> sigma{};      // of noise alone; infinite where the ring shows nothing
  std::size_t frames = 0;                       // laid on top of each other
};

// The share of frames that is used, the sharpest first: all but gusts. The best moments alone are those in which the air
// happens to undo the defocus: a quarter of the frames made waves a turn read 0.70 of what they are and best focus twice
// as unsure.
constexpr double kFocusKept = 0.9;
constexpr std::size_t kFocusFewest = 20;  // frames, where the clip has them

// Valid: an object that stands clear of the frame's edges, not burnt out.
// Errors (bad input): no object; fewer than 10 frames with one.
Result<FocusSpectrum> focus_spectrum(const Recording& recording, const RecordingIndex& index, const ClipOptics& optics,
                                     int size);

}  // namespace halfarc
