// An observation as the JSON document halfarc.report/1 (docs/contracts/report.schema.json).
#pragma once

#include <string>

#include "halfarc/report/observation.h"

namespace halfarc {

std::string observation_json(const Observation& observation);

}  // namespace halfarc
