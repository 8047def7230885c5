// Sequences on disk: pictures or FITS files in one folder whose names differ only in their last number.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "halfarc/base/result.h"

namespace halfarc {

struct NumberedFiles {
  std::vector<std::filesystem::path> files;  // by number; one file alone if its name has no number
  std::vector<std::string> notes;            // gaps in the numbers; other files in the folder
};

// `file` and its siblings. Errors (bad input): folder cannot be listed.
Result<NumberedFiles> numbered_siblings(const std::filesystem::path& file);

// The one sequence in a folder. Errors (bad input): none; more than one.
Result<NumberedFiles> numbered_in_folder(const std::filesystem::path& folder);

}  // namespace halfarc
