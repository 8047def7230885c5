// What `check` says, as the JSON document halfarc.check/1 (docs/contracts).
#pragma once

#include <span>
#include <string>

#include "halfarc/app/check_clip.h"

namespace halfarc {

// One document, or for several clips an array of them.
std::string check_json(std::span<const ClipCheck> checks);

}  // namespace halfarc
