// The drawn altitude chart of the plan's page.
#pragma once

#include <string>

#include "halfarc/app/plan_night.h"

namespace halfarc {

// The chart as an SVG element: hours across, altitude up, the Sun's depth as the shade of the ground, one line a
// target, thick where it can be recorded.
std::string plan_chart(const NightPlan& plan);

}  // namespace halfarc
