// What `plan` says: in words, as the JSON document halfarc.plan/1 (docs/contracts), as a page to print, and as a
// calendar.
#pragma once

#include <string>

#include "halfarc/app/plan_night.h"

namespace halfarc {

std::string plan_words(const NightPlan& plan);
std::string plan_json(const NightPlan& plan);

}  // namespace halfarc
