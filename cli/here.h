// Here: the home folder of this process, and what it says of place and rig (app/here.h).
#pragma once

#include <filesystem>
#include <optional>

#include "halfarc/app/here.h"

namespace halfarc::cli {

// The home folder by the environment of this process (app/home.h).
std::filesystem::path home_of_owner();

// The rig of that folder, solved; nothing when there is none. Errors: those of solved_rig_of_home.
Result<std::optional<SolvedRig>> rig_of_owner();

}  // namespace halfarc::cli
