// rehearse: a small simulated night of our scenario, so that the whole way can be tried indoors.
//
// A 203 mm telescope at f/20 with a small-pixel colour camera looks at invented planets through a simulated sky. A
// short clip is checked as one would at the telescope; two runs are made into images; and because the sky was
// simulated, each image is compared with the truth. Every file stays in the folder, the truth beside each recording.
#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "halfarc/app/check_clip.h"
#include "halfarc/app/compare_truth.h"
#include "halfarc/app/make_image.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/simulate/exposure.h"

namespace halfarc {

struct RehearseOptions {
  std::filesystem::path folder;
  std::uint64_t seed = 1;
  std::size_t frames = 1000;  // of each run; the clip has a fifth of them
  Threads threads;
};

struct RehearsedRun {
  std::filesystem::path recording;
  std::filesystem::path truth;
  MadeImage made;
  std::array<PlaneComparison, 3> against_truth;
};

struct Rehearsal {
  ClipCheck clip;
  std::vector<RehearsedRun> runs;
};

// Errors: the folder cannot be made or written; cancelled.
Result<Rehearsal> rehearse(const RehearseOptions& options, Progress& progress);

std::string rehearsal_words(const Rehearsal& rehearsal);

// The shots of the night, in the order they are taken: the clip, then the runs.
std::vector<ShotSpec> night_of_shots(const RehearseOptions& options);

}  // namespace halfarc
