// pointing.csv: how far the target jumped when a part was put in or taken out, as the owner noted it. From these lines
// halfarc learns how far the next part will throw it (optics/pointing_offset.h).
//
// A line a reading: the change of moment in newton metres that `halfarc train --add` told, the target's move up and to
// the right on the sky in arcseconds, and how sure either is.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "halfarc/base/result.h"
#include "halfarc/optics/pointing_offset.h"

namespace halfarc {

// Errors: a line that is not a reading, with its number.
Result<PointingResponse> parse_pointing(std::string_view text, const std::string& where);

// What the home folder's file teaches; the prior when there is none. Errors: as parse_pointing.
Result<PointingResponse> pointing_of_home(const std::filesystem::path& home);

}  // namespace halfarc
