// OwnerFile: the files of the home folder that the owner writes by hand, as text to be edited elsewhere than in an
// editor.
//
// A new text takes the place of the old one only when halfarc can use it, and the old one stays beside it.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"

namespace halfarc {

enum class OwnerFile { site, rig, horizon };

// "site.toml", "rig.toml", "horizon.csv".
std::string_view file_name(OwnerFile file);

struct OwnerText {
  std::string text;  // what `init` would write when the file is not there; nothing for the horizon
  bool exists = false;
};
// Errors: a file that cannot be read.
Result<OwnerText> read_owner_file(const std::filesystem::path& home, OwnerFile file);

// Whether halfarc can use the text. Errors: those of the file's parser.
Result<void> check_owner_text(OwnerFile file, std::string_view text);

// Writes it, the old text first to "rig.toml.20261125T210407Z" where it differs. Errors: as check_owner_text, and then
// nothing is written; a folder that cannot be made or written.
Result<void> replace_owner_file(const std::filesystem::path& home, OwnerFile file, std::string_view text, Utc now);

}  // namespace halfarc
