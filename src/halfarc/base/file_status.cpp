#include "halfarc/base/file_status.h"

#include <sys/stat.h>
#include <unistd.h>

namespace halfarc {

std::optional<FileStatus> file_status(const std::filesystem::path& path, Links links) {
  struct stat told {};
  const int outcome = links == Links::followed ? ::stat(path.c_str(), &told) : ::lstat(path.c_str(), &told);
  if (outcome != 0) return std::nullopt;
  FileStatus status;
  if (S_ISREG(told.st_mode)) status.kind = FileKind::file;
  if (S_ISDIR(told.st_mode)) status.kind = FileKind::folder;
  status.identity = told.st_ino;
  status.bytes = static_cast<std::uint64_t>(told.st_size);
  status.written = Utc::unix_ns(static_cast<std::int64_t>(told.st_mtim.tv_sec) * 1'000'000'000 + told.st_mtim.tv_nsec);
  return status;
}

bool is_readable(const std::filesystem::path& path) { return ::access(path.c_str(), R_OK) == 0; }

}  // namespace halfarc
