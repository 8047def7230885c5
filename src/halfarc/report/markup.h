// Text inside HTML and SVG.
#pragma once

#include <string>
#include <string_view>

namespace halfarc {

// With the five characters that mean something in markup written as entities, so that any name may stand in it. Control
// characters, which no SVG may hold, become spaces.
std::string escaped(std::string_view text);

}  // namespace halfarc
