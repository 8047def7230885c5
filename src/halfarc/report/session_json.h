// A session as the JSON document halfarc.session/1 (docs/contracts/session.schema.json).
#pragma once

#include <string>

#include "halfarc/report/session.h"

namespace halfarc {

std::string session_json(const Session& session);

}  // namespace halfarc
