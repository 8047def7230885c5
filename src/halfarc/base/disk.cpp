#include "halfarc/base/disk.h"

#include <unistd.h>

#include <cerrno>
#include <cstring>

namespace halfarc {

Error cannot_write(const std::filesystem::path& path, int error_number) {
  std::string to_do = "choose another folder with -o";
  if (error_number == ENOSPC || error_number == EDQUOT) to_do = "free some space on that disk and run it again";
  if (error_number == ENOENT) to_do = "make the folder first, or choose another with -o";
  if (error_number == ENAMETOOLONG) to_do = "choose a shorter name with -o";
  return failed(std::string("cannot write: ") + std::strerror(error_number), path.string(), to_do);
}

Result<void> write_all(int descriptor, std::span<const std::byte> bytes, const std::filesystem::path& path) {
  while (!bytes.empty()) {
    const ssize_t written = ::write(descriptor, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return cannot_write(path, errno);
    bytes = bytes.subspan(static_cast<std::size_t>(written));
  }
  return {};
}

}  // namespace halfarc
