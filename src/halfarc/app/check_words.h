// What `check` says in words, for the owner.
#pragma once

#include <string>
#include <vector>

#include "halfarc/app/check_clip.h"

namespace halfarc {

// The readings, a line each, and what to do about them.
std::string check_words(const ClipCheck& check);

// What to do about it, the most useful first.
std::vector<std::string> what_to_do(const ClipCheck& check);

}  // namespace halfarc
