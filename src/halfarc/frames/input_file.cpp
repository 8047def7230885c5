#include "halfarc/frames/input_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <utility>

namespace halfarc {
namespace {

Error cannot_open(const std::filesystem::path& path, int error_number) {
  if (error_number == ENOENT || error_number == ENOTDIR) {
    return bad_input("there is no such file", path.string(), "check the name");
  }
  if (error_number == EACCES) {
    return bad_input("may not be read", path.string(), "give yourself permission to read it");
  }
  return bad_input(std::string("cannot be opened: ") + std::strerror(error_number), path.string(), "check the disk");
}

}  // namespace

Result<InputFile> InputFile::open(const std::filesystem::path& path) {
  // Without O_NONBLOCK a pipe would wait here for somebody to write into it.
  InputFile file;
  file.path_ = path;
  file.descriptor_ = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
  if (file.descriptor_ < 0) return cannot_open(path, errno);
  struct stat status {};
  if (::fstat(file.descriptor_, &status) != 0) return cannot_open(path, errno);
  if (S_ISDIR(status.st_mode)) return bad_input("is a folder", path.string(), "name a file");
  if (!S_ISREG(status.st_mode)) {
    return bad_input("is a device or pipe, not a file", path.string(), "name a recording on the disk");
  }
  if (status.st_size == 0) return bad_input("is empty", path.string(), "record again");
  file.size_ = static_cast<std::uint64_t>(status.st_size);
  return file;
}

InputFile::InputFile(InputFile&& other) noexcept { *this = std::move(other); }

InputFile& InputFile::operator=(InputFile&& other) noexcept {
  if (this == &other) return *this;
  if (descriptor_ >= 0) ::close(descriptor_);
  path_ = std::move(other.path_);
  size_ = other.size_;
  descriptor_ = std::exchange(other.descriptor_, -1);
  return *this;
}

InputFile::~InputFile() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

Result<void> InputFile::read(std::uint64_t offset, std::span<std::byte> into) const {
  while (!into.empty()) {
    const ssize_t got = ::pread(descriptor_, into.data(), into.size(), static_cast<off_t>(offset));
    if (got < 0 && errno == EINTR) continue;
    if (got < 0)
      return failed(std::string("cannot be read: ") + std::strerror(errno), path_.string(), "check the disk");
    if (got == 0) {
      return failed("has become shorter while it was being read", path_.string(), "wait until it is written whole");
    }
    into = into.subspan(static_cast<std::size_t>(got));
    offset += static_cast<std::uint64_t>(got);
  }
  return {};
}

Result<std::vector<std::byte>> InputFile::head(std::size_t count) const {
  std::vector<std::byte> bytes(static_cast<std::size_t>(std::min<std::uint64_t>(count, size_)));
  HALFARC_CHECK(read(0, bytes));
  return bytes;
}

}  // namespace halfarc
