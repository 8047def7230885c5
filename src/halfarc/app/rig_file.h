// rig.toml: the rig as its owner writes it down.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

#include "halfarc/app/rig.h"
#include "halfarc/base/result.h"

namespace halfarc {

// The text that `halfarc init` writes: the default rig, every key with its meaning. For the telescope kinds other than
// the default's the keys that differ are named in its comments.
std::string_view example_rig_text();

// The text of a rig.toml. Keys that are left out keep the usual value of the kind of telescope or part; `where` names
// the file.
// Errors: not TOML; a key that is misspelt or out of range; a train that cannot be solved.
Result<Rig> parse_rig_file(std::string_view text, const std::string& where);

// Puts in a part that is written as the keys and values of its table, "kind=spacer,length_mm=20", before place `at` (0
// is nearest the telescope); takes the part of a name out, with a filter's colours.
// Errors: words that are no part; a name that is there already, or is not.
Result<void> add_part(Rig& rig, std::string_view words, std::size_t at);
Result<void> remove_part(Rig& rig, const std::string& name);

// The rig of the home folder, nothing when there is no rig.toml. Errors: a file that cannot be read or used.
Result<std::optional<Rig>> rig_of_home(const std::filesystem::path& home);

}  // namespace halfarc
