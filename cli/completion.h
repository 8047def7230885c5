// Completion: scripts that let a shell finish halfarc's commands and options; anything else is finished as a file.
#pragma once

#include <string>

#include "command_tree.h"

namespace halfarc::cli {

std::string bash_completion(const CommandWords& program);
std::string zsh_completion(const CommandWords& program);
std::string fish_completion(const CommandWords& program);

}  // namespace halfarc::cli
