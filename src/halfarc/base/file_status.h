// FileStatus: what the system tells of a name on the disk: whether a file or a folder stands there, which one, how
// large it is and when it was written last.
//
// std::filesystem has no identity of a file and a clock of its own; both are asked of the system here, and nowhere
// else.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>

#include "halfarc/base/utc.h"

namespace halfarc {

enum class FileKind { file, folder, other };  // other: a link that was not followed, a device, a pipe

struct FileStatus {
  FileKind kind = FileKind::other;
  std::uint64_t identity = 0;  // the same under any name, on one disk; a number is used again once its file is gone
  std::uint64_t bytes = 0;
  Utc written;  // by the disk's own clock
};

enum class Links { followed, told };  // told: a link is what it is itself, of kind `other`

// Nothing when nothing of that name is there, or it may not be looked at.
std::optional<FileStatus> file_status(const std::filesystem::path& path, Links links = Links::followed);

// Whether this process may read what is there.
bool is_readable(const std::filesystem::path& path);

}  // namespace halfarc
