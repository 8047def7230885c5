// Here: the place and the rig that a question is asked for: what was typed, else what the home folder says, else those
// of the examples, and then a caution says so.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "halfarc/app/home.h"
#include "halfarc/app/rig.h"
#include "halfarc/base/result.h"

namespace halfarc {

struct Here {
  NamedSite place;
  bool is_typed = false;
  std::string caution;  // what to say when nobody said where
};

// `typed` is "LAT,LON,HEIGHT", or empty. Errors: those of sky::parse_site and site_of_home.
Result<Here> find_here(const std::string& typed, const std::filesystem::path& home);

// The rig of the home folder's rig.toml, with what cooling.csv taught, solved; nothing when there is none.
// Errors: those of rig_of_home, learn_cooling and solve.
struct SolvedRig {
  Rig rig;
  TrainSolution train;
};
Result<std::optional<SolvedRig>> solved_rig_of_home(const std::filesystem::path& home);

}  // namespace halfarc
