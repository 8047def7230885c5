#include "here.h"

#include <cstdlib>
#include <string>

namespace halfarc::cli {
namespace {

std::string variable(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? std::string() : std::string(value);
}

}  // namespace

std::filesystem::path home_of_owner() {
  return home_folder({variable("HALFARC_HOME"), variable("XDG_DATA_HOME"), variable("HOME")});
}

Result<std::optional<SolvedRig>> rig_of_owner() { return solved_rig_of_home(home_of_owner()); }

}  // namespace halfarc::cli
