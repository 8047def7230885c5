// What `focus` says: in words for the owner, and as the JSON document halfarc.focus/1 (docs/contracts).
#pragma once

#include <string>

#include "halfarc/app/find_focus.h"

namespace halfarc {

std::string focus_words(const FoundFocus& found);
std::string focus_json(const FoundFocus& found);

}  // namespace halfarc
