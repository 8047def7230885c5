// The stack: from graded frames to two aligned, independent halves of a run.
//
// The frames are dealt to two halves in alternating stretches of time, because neighbouring frames see almost the same
// air and would make the halves agree for the wrong reason. Each half builds its own reference and is aligned to it;
// nothing that one half learned reaches the other, except one overall offset between the two references. So what both
// halves show is in the sky or in the telescope, not in the noise.
// Source: independent references as the guard against agreement by noise [Scheres2012].
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "halfarc/air/changing_air.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/pixel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"
#include "halfarc/restore/accumulate.h"
#include "halfarc/restore/blur.h"
#include "halfarc/restore/select.h"
#include "halfarc/restore/site_spectra.h"
#include "halfarc/restore/smear.h"
#include "halfarc/restore/window.h"

namespace halfarc {

// What the index says of one frame, as far as stacking needs it.
struct GradedFrame {
  std::size_t number = 0;
  PixelPoint place;        // centroid of the light; only differences between frames matter
  double sharpness = 0.0;  // larger is better; any unit
};

struct StackOptions {
  std::size_t most_candidates = 6000;  // frames that are registered, the sharpest first
  std::size_t stretch = 32;            // consecutive frames that go to the same half
  double reach = 12.0;                 // pixels about the predicted place in which a frame is searched
  double kept_fraction = 0.0;          // of all frames; 0: as many as carry the most information
  std::vector<std::size_t> cuts{};     // frame numbers, ascending, at which a new slice begins (Stack::slices)
  bool local = true;  // also undo shifts that differ over the field (local_air.h)
  Threads threads;
};

struct AlignedFrame {
  std::size_t number = 0;
  int half = 0;
  PixelOffset shift;  // a feature at p of the stack lies at p + shift in the frame
  double likeness = 0.0;
};

// A short stretch of a run by itself, for what moves while the run lasts (derotate.h).
struct StackSlice {
  std::array<ColourPlanes, 2> halves;  // of its kept frames; empty planes where a half has none
  std::vector<AlignedFrame> kept;
};

// What tells the air of a run (blur.h): frames of all grades, aligned, and which share of all frames was kept. The kept
// ones alone would not do: they were chosen for being alike, and disagree less than the air that blurs them.
struct AirLook {
  std::vector<SiteSums> groups;      // bursts of frames, dealt in turns
  double exposure = kUsualExposure;  // of one frame, in intervals between frames
  std::vector<PlacedFrame> places;   // of the frames in them, ascending by number
  double kept = 1.0;
  // Local shifts that are left in the frames, pixels rms, one axis, as far as they are known beforehand.
  Measured<double> local_shift = kUsualLocalShift;
};

// What was found of shifts that differ over the field; the mean of both halves, and of several runs the one with most.
struct LocalShifts {
  std::size_t probes = 0;
  double rms = 0.0;     // pixels, one axis; 0 where they do not stand out
  double reach = 0.0;   // pixels over which parts move alike
  double undone = 0.0;  // rms of what was taken out, the shifts of whole frames that alignment had missed included
  double left = 0.0;    // rms of what stays in the frames, by the fit
};

struct Stack {
  Window window;
  std::array<Accumulator::Mean, 2> halves;  // of the kept frames
  std::vector<AlignedFrame> kept;           // ascending by number
  std::vector<StackSlice> slices;           // when cuts were asked for; those without kept frames are left out
  std::vector<AirLook> air;                 // one a run
  KeptFraction selection;
  LocalShifts local;
  std::size_t candidates = 0;
  struct Seconds {
    double align = 0.0, select = 0.0, accumulate = 0.0;
  } seconds;
};

// Aligns and accumulates. Errors: fewer than 4 usable frames in a half; unreadable file; cancelled.
Result<Stack> stack_frames(const Recording& recording, std::span<const GradedFrame> frames, const Window& window,
                           const StackOptions& options, Progress& progress);

}  // namespace halfarc
