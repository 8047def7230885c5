// The plan as one page to print: a drawn chart of altitudes through the night, the windows, the list of things to do.
#pragma once

#include <string>

#include "halfarc/app/plan_night.h"

namespace halfarc {

// A complete HTML document with the chart as inline SVG: no script, no file beside it, nothing fetched.
std::string plan_page(const NightPlan& plan);

}  // namespace halfarc
