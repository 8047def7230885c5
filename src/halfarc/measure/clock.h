// Clock: what the times of a recording's frames say about its frame rate, and whether frames are missing.
//
// Frames are numbered by rounding the time since the frame before to whole intervals, so that gaps are counted; a
// straight line through times against these numbers is the true rate, and what is left about it the jitter.
#pragma once

#include <optional>
#include <span>

#include "halfarc/base/duration.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/utc.h"
#include "halfarc/measure/index.h"

namespace halfarc {

struct Clock {
  Measured<double> frames_per_second;
  std::size_t dropped = 0;    // frames missing in gaps
  std::size_t gaps = 0;       // places where frames are missing
  Duration longest_gap;       // zero without gaps
  std::size_t same_time = 0;  // frames with the time of the one before
  std::size_t backwards = 0;  // frames earlier than the one before
  Duration jitter;            // rms of the times about an even clock
  Utc start, end;             // of the earliest and the latest frame
};

// Nothing when there are fewer than 3 times or all are alike.
// Accuracy: rate and drops exact for jitter below a quarter of the interval.
std::optional<Clock> audit_clock(std::span<const Utc> times);

// How the times of a clip stand against the moment its file was last written, which is when the recording ended unless
// the file was changed since.
struct TimeDoubt {
  Duration ahead;       // of the last frame before the file's moment; negative: behind
  int whole_hours = 0;  // 0: no whole hours, which a time zone would make
};

// Nothing when they agree within 3 minutes, or when the file is merely younger, as a copy is. A clip that ends after
// its file was written is always in doubt; one that ends whole hours before it, to 45 s, is told as a time zone, which
// a copy made by chance at that moment looks like in one case of forty. Valid: any. Accuracy: exact. Source:
// definition.
std::optional<TimeDoubt> doubt_of_times(Utc end, Utc file_written);

// Frames whose picture is the very same as the one before's.
std::size_t repeated_pictures(const RecordingIndex& index);

// Seconds of every frame from the first one: the times; or when they do not advance, evenly spaced over them; or,
// without times, frame numbers divided by `fallback_fps`. Empty when neither is known.
std::vector<double> seconds_of_frames(std::span<const Utc> times, std::size_t frames,
                                      std::optional<double> fallback_fps);

}  // namespace halfarc
