// A session as a page to print: one HTML file that needs nothing beside it.
#pragma once

#include <string>

#include "halfarc/report/session.h"

namespace halfarc {

std::string session_page(const Session& session);

}  // namespace halfarc
