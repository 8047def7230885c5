// simulate: a described shot becomes a recording on disk with its truth beside it.
//
// NAME.fits is a FITS cube as a camera program would leave it; NAME-truth.fits holds what there was to see and what
// happened to every frame (simulate/truth_file.h); NAME-shot.toml the shot itself, every key written out, from which
// the same bytes can be made again.
#pragma once

#include <cstddef>
#include <filesystem>
#include <functional>

#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/simulate/exposure.h"

namespace halfarc {

struct SimulatedFiles {
  std::filesystem::path recording;
  std::filesystem::path truth_path;
  std::filesystem::path shot_path;
  std::size_t frames = 0;
  ShotTruth truth;
};

// Errors: values no shot can have; cannot write; cancelled. Nothing is left under its final name unless it is whole.
Result<SimulatedFiles> simulate_to_files(const ShotSpec& shot, const std::filesystem::path& recording, Threads threads,
                                         Progress& progress);

// The same as a capture program would do it: the recording stands under its name from the first frame and grows, and
// the truth appears whole in the folder `truth` beside it, just before the recording is closed. `before_frame` is
// called with the time of every frame, and may wait. Errors: as above; a recording that is given up is removed.
using BeforeFrame = std::function<void(Duration after_start)>;
Result<SimulatedFiles> capture_to_files(const ShotSpec& shot, const std::filesystem::path& recording,
                                        const BeforeFrame& before_frame, Threads threads, Progress& progress);

}  // namespace halfarc
