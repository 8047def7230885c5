// Disk: whole writes to an open file, and the one line that says why a write failed and what to do about it.
#pragma once

#include <filesystem>
#include <span>

#include "halfarc/base/result.h"

namespace halfarc {

// `error_number` is errno as the failed call left it; `path` the name the owner knows.
Error cannot_write(const std::filesystem::path& path, int error_number);

// All of `bytes` at the descriptor's place, however many calls that takes. Errors: disk full and the like.
Result<void> write_all(int descriptor, std::span<const std::byte> bytes, const std::filesystem::path& path);

}  // namespace halfarc
