// What `make` says: in words for the owner, and as the JSON document halfarc.image/1 (docs/contracts).
#pragma once

#include <string>

#include "halfarc/app/make_image.h"

namespace halfarc {

std::string make_words(const MadeImage& made);
std::string make_json(const MadeImage& made);

}  // namespace halfarc
