// From recordings on disk to one stack of two independent halves: what `make` restores and `budget` measures.
//
// Each run is indexed and its frames graded; a window is placed on its scene; the frames are aligned and accumulated in
// two halves (restore/stack.h); the stacks of several runs are added as they are (restore/combine.h), or brought to one
// instant when it is known what turned (derotate_runs.h).
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <vector>

#include "halfarc/app/derotate_runs.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/frames/recording.h"
#include "halfarc/restore/stack.h"

namespace halfarc {

struct StackedRuns {
  std::vector<RecordingInfo> runs;
  std::size_t frames_read = 0;
  std::size_t frames_used = 0;
  std::optional<Utc> reference;  // middle of all frames used
  std::optional<Duration> span;  // from the first to the last frame used
  KeptFraction selection;        // of the first run
  Stack stack;
  struct Derotated {
    Utc at;
    Angle north;
    NorthSource north_source = NorthSource::given;
    std::size_t slices = 0;
    double unseen = 0.0;
    bool mirrored = false;
  };
  std::optional<Derotated> derotated;
  double seconds_graded = 0.0;
  double seconds_derotated = 0.0;
};

// `kept_fraction` 0: as many frames as carry the most information. Without `derotate` runs are laid on each other as
// they are. Errors: no run; no usable frames; runs of different size or colour; unreadable files; those of derotation;
// cancelled.
Result<StackedRuns> stack_runs(const std::vector<std::filesystem::path>& paths, double kept_fraction, Threads threads,
                               Progress& progress, const std::optional<DerotateRequest>& derotate = {});

}  // namespace halfarc
