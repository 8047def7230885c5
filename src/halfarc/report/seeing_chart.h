// The seeing of a night against the hours, each reading with its error, as SVG.
#pragma once

#include <string>
#include <vector>

#include "halfarc/report/session.h"

namespace halfarc {

// Valid: readings in order of time, at least one.
std::string seeing_chart(const std::vector<SessionSeeing>& seeing);

}  // namespace halfarc
