// TextSink: takes a text piece by piece that is too long to hold at once.
#pragma once

#include <functional>
#include <string_view>

#include "halfarc/base/result.h"

namespace halfarc {

using TextSink = std::function<Result<void>(std::string_view)>;

}  // namespace halfarc
