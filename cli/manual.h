// Manual: the page for `man halfarc`, in man(7) macros.
#pragma once

#include <string>

#include "command_tree.h"

namespace halfarc::cli {

std::string manual_page(const CommandWords& program, const std::string& version);

}  // namespace halfarc::cli
