// Ladder: one reading (or image) judged against the truth of simulated recordings, rung by rung of harder conditions.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "figures.h"
#include "halfarc/base/result.h"

namespace halfarc::accuracy {

// One set of conditions.
struct Rung {
  std::string conditions;  // as the table names them
  Bar bar;                 // none (limit 0) where nothing is promised under these conditions
  bool in_small = false;   // whether the short ladders of ./test stand on it

  // Simulates, reads and compares. All that is random hangs on the seed; files go to `folder`, which is the trial's
  // own. No trials when the reading was refused, with or without words: that is counted, too.
  std::function<Result<std::vector<Trial>>(std::uint64_t seed, const std::filesystem::path& folder)> run;
};

struct Ladder {
  std::string name;   // as typed after --only
  std::string title;  // of its table
  std::string unit;
  std::string about;  // a sentence or two: what is simulated, what is read, which bar
  std::vector<Rung> rungs;
  std::size_t seeds = 12;       // of every rung
  std::size_t small_seeds = 2;  // in ./test
  bool states_errors = true;    // false: a ratio against the best possible, with no sigma beside it
};

// Every ladder, in the order of the report.
std::vector<Ladder> every_ladder();

Ladder colour_offset_ladder();
Ladder disc_scale_ladder();
Ladder collimation_ladder();
Ladder best_focus_ladder();
Ladder seeing_ladder();
Ladder registration_ladder();
Ladder image_error_ladder();
Ladder resolution_ladder();
Ladder false_detail_ladder();

// What became of one rung.
struct RungOutcome {
  Figures figures;
  std::size_t seeds = 0;
  std::size_t refused = 0;  // seeds that gave no reading
  std::string last_reason;  // why the last of them did not
};

// Runs seeds 1 ... `seeds`, side by side on all cores. `folder` is for files, each removed after its trial.
RungOutcome run_rung(const Rung& rung, std::size_t seeds, const std::filesystem::path& folder);

}  // namespace halfarc::accuracy
