// Here: the place a command works for: what was typed, else what the home folder says, else the town of the examples.
#pragma once

#include <filesystem>
#include <string>

#include "halfarc/app/home.h"
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

}  // namespace halfarc::cli
