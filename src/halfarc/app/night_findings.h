// Night findings: what the readings of a played night's clips say, each beside the truth that only a rehearsal knows.
#pragma once

#include <string>
#include <vector>

#include "halfarc/app/play_night.h"
#include "halfarc/app/rig.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"

namespace halfarc {

// One line: "coma", "0.92 waves +- 0.03 towards 214 deg", "0.90 waves towards 213 deg".
struct NightFinding {
  std::string recording;  // its file's name; of the focus series the last
  std::string what;
  std::string read;
  std::string truth;
};

// Reads every clip as `check` and `focus` do: coma and plume of a ring, the shift of the colours, what burned out, what
// the clock says, and best focus of the series. A reading that the air of a clip does not allow is said to be none.
// Errors: those of reading; cancelled.
Result<std::vector<NightFinding>> night_findings(const PlayedNight& night, Threads threads, Progress& progress);

std::string findings_words(const std::vector<NightFinding>& findings);

}  // namespace halfarc
