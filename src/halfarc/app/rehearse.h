// rehearse: a whole simulated night of our scenario, so that everything can be tried indoors.
//
// The script (app/night_script.h) is played with a telescope drawn from a seed (app/hidden_rig.h); the clips are read,
// the runs become images; and because the sky was simulated, each reading and each image is held against the truth.
// The same seed gives the same recordings, whatever the number of threads.
#pragma once

#include <array>
#include <filesystem>
#include <string>
#include <vector>

#include "halfarc/app/compare_truth.h"
#include "halfarc/app/make_image.h"
#include "halfarc/app/night_findings.h"
#include "halfarc/app/play_night.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"

namespace halfarc {

struct RehearsedRun {
  std::filesystem::path recording;
  std::filesystem::path truth;
  MadeImage made;
  std::array<PlaneComparison, 3> against_truth;
};

struct Rehearsal {
  PlayedNight night;
  std::vector<NightFinding> findings;
  std::vector<RehearsedRun> runs;  // of the script's runs those without lost frames
};

// Errors: the folder cannot be made or written; cancelled; those of the source of turns and of the teller.
Result<Rehearsal> rehearse(const NightScript& script, const PlayOptions& options, Progress& progress);

std::string rehearsal_words(const Rehearsal& rehearsal);

}  // namespace halfarc
