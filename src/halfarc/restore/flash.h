// Flashes: short lights on a planet's disc or on the dark side of the Moon, looked for in every frame of a run.
//
// Frames are laid on each other by their shifts and summed into cells of 4 x 4 pixels and stretches of one to some
// tens of frames. The light of every cell is taken against the ring of cells around it, so that haze and twinkling of
// the whole fall out, and against its own median over some seconds. What sticks out for up to 3 s is measured in units
// of that cell's own scatter over the run for the same duration, which holds its noise and its share of the seeing: a
// cell on the limb, where the air moves much light about, must rise further than one in the middle.
// The air has heavier tails than a Gaussian, but it darkens as it brightens: the deepest dip of the run says what the
// air does by itself, and only what rises higher, and higher than Gaussian noise would once in a hundred runs, is told.
// A particle that hits the sensor lights one or two pixels and not the cells around, as light through a telescope does;
// it is left out. Source: robust scale by the median absolute deviation [Hampel1974].
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "halfarc/base/measured.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/pixel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"
#include "halfarc/restore/window.h"

namespace halfarc {

struct Flash {
  std::size_t first = 0;  // frames in which it shone
  std::size_t last = 0;
  PixelPoint place;           // in the first of them, pixels of the frame
  Measured<double> excess;    // mean brightness above the usual over its cell of 4 x 4 pixels, ADU
  double significance = 0.0;  // excess over its error
};

struct FlashSearch {
  std::vector<Flash> flashes;  // the most significant first, at most 8
  double least = 0.0;          // significance above which something counts as a flash
  double deepest_dip = 0.0;    // of the run, in the same units
  std::size_t frames_looked = 0;
  std::size_t frames_together = 1;  // summed in one stretch: nothing shorter is timed
};

// `shifts`: where frame k lies against frame 0, one a frame of the recording (interpolate where a frame is bad).
// Valid: runs of at least 64 frames; flashes of up to 3 s at `frames_per_s`.
// Accuracy: fewer than one false alarm in a hundred runs of noise; none in simulated air (tested).
// Errors: fewer frames; unreadable file; cancelled.
Result<FlashSearch> find_flashes(const Recording& recording, std::span<const PixelOffset> shifts, double frames_per_s,
                                 const Window& window, Threads threads, Progress& progress);

}  // namespace halfarc
