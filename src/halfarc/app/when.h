// When: dates and times as people write them.
#pragma once

#include <string>
#include <string_view>

#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"

namespace halfarc {

// An instant in UTC. Understood: "now"; 2026-11-25, 2026-11-25T21:04:07Z, 2026-11-25 21:04+01:00; 25 Nov 2026 21:04;
// November 25, 2026 9:04 pm; 2026/11/25 21h04; 25.11.2026 (day first); 21:04 and "today 21:04" (the UTC day of `now`),
// tomorrow, yesterday; JD 2461370.378. A date without a time is its midnight. UT, UTC, GMT or Z after the time are
// taken. Errors: unreadable or impossible dates, and 11/12/2026, of which nobody can say which is the month; each says
// what to type.
Result<Utc> parse_when(std::string_view text, Utc now);

// "21:04": the nearest minute, UTC.
std::string clock(Utc at);

}  // namespace halfarc
