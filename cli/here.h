// Here: the place a command works for: what was typed, else what the home folder says, else the town of the examples.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "halfarc/app/home.h"
#include "halfarc/app/rig.h"
#include "halfarc/base/result.h"

namespace halfarc::cli {

// The home folder by the environment of this process (app/home.h).
std::filesystem::path home_of_owner();

struct Here {
  NamedSite place;
  bool is_typed = false;  // by --site
  std::string caution;    // what to say when nobody said where
};

// `typed` is what followed --site, or empty. Errors: those of sky::parse_site and site_of_home.
Result<Here> find_here(const std::string& typed, const std::filesystem::path& home);

// The rig of the owner's rig.toml, solved; nothing when there is none. Errors: those of rig_of_home.
struct SolvedRig {
  Rig rig;
  TrainSolution train;
};
Result<std::optional<SolvedRig>> rig_of_owner();

}  // namespace halfarc::cli
