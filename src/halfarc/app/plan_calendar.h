// The plan as a calendar that phones take: the hour to put the tube out, the best window of each target, the Sun's
// rise.
#pragma once

#include <string>

#include "halfarc/app/plan_night.h"

namespace halfarc {

// An iCalendar file (RFC 5545), times in UTC. `made_at` stamps the entries; the same plan and stamp give the same
// bytes, and a plan made anew replaces the entries of the old one. Source: [RFC5545].
std::string plan_calendar(const NightPlan& plan, Utc made_at);

}  // namespace halfarc
