// cooling.csv: temperatures that the owner read beside the telescope, from which the mirror's own time constant
// follows.
//
// A line a reading: when, the mirror's temperature, the air's. Readings more than six hours apart are different
// evenings; each evening with three or more is fitted by itself (air/time_constant.h), and evenings are averaged with
// the weight that their errors give them.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "halfarc/app/rig.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/result.h"

namespace halfarc {

// The time constant of every evening that tells one, in their order.
// Errors: a line that is not a reading (with its number), readings out of order.
Result<std::vector<Measured<Duration>>> time_constants(std::string_view text, const std::string& where);

// Errors: a line that is not a reading (with its number), readings out of order; no evening that tells a time constant.
Result<Measured<Duration>> parse_cooling(std::string_view text, const std::string& where);

// Takes the time constant of the home folder's cooling.csv into the rig, when there is one. What rig.toml says itself
// stays. Errors: as parse_cooling.
Result<void> learn_cooling(const std::filesystem::path& home, Rig& rig);

}  // namespace halfarc
