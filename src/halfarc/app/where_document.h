// What `where` says: in words for the owner, and as the JSON document halfarc.where/1 (docs/contracts).
#pragma once

#include <string>

#include "halfarc/app/where_body.h"

namespace halfarc {

std::string where_words(const Whereabouts& whereabouts);
std::string where_json(const Whereabouts& whereabouts);

}  // namespace halfarc
