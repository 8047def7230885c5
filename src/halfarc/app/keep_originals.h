// keep_originals: what is made from recordings never takes the place of one.
//
// A night cannot be recorded again. An output that would replace the recording it is made from, or one picture of a
// numbered sequence, or that would lie among the frames of a folder and be taken for one next time, is refused.
#pragma once

#include <filesystem>
#include <span>

#include "halfarc/base/result.h"

namespace halfarc {

// `recordings` as the owner named them (files, folders, one picture of a sequence), `outputs` as they will be written.
// Errors (usage): an output that endangers a recording, named with what to do. Files that cannot be looked at are left
// to those who open them.
Result<void> keep_originals(std::span<const std::filesystem::path> recordings,
                            std::span<const std::filesystem::path> outputs);

}  // namespace halfarc
