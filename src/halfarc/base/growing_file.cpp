#include "halfarc/base/growing_file.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <utility>

#include "halfarc/base/disk.h"

namespace halfarc {

Result<GrowingFile> GrowingFile::create(const std::filesystem::path& path) {
  std::error_code ignored;
  if (std::filesystem::exists(path, ignored) && !std::filesystem::is_regular_file(path, ignored)) {
    return failed("is a folder, a device or a pipe, not a file", path.string(), "choose another name");
  }
  // Anew, not over the old bytes: who still reads the old recording keeps it.
  std::filesystem::remove(path, ignored);
  GrowingFile file;
  file.descriptor_ = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
  if (file.descriptor_ < 0) return cannot_write(path, errno);
  file.path_ = path;
  return file;
}

GrowingFile::GrowingFile(GrowingFile&& other) noexcept { *this = std::move(other); }

GrowingFile& GrowingFile::operator=(GrowingFile&& other) noexcept {
  if (this == &other) return *this;
  discard();
  path_ = std::move(other.path_);
  descriptor_ = std::exchange(other.descriptor_, -1);
  return *this;
}

GrowingFile::~GrowingFile() { discard(); }

void GrowingFile::discard() noexcept {
  if (descriptor_ < 0) return;
  ::close(descriptor_);
  ::unlink(path_.c_str());
  descriptor_ = -1;
}

Result<void> GrowingFile::write(std::span<const std::byte> bytes) { return write_all(descriptor_, bytes, path_); }

Result<void> GrowingFile::write(std::string_view text) { return write(std::as_bytes(std::span(text))); }

Result<void> GrowingFile::close() {
  if (::fsync(descriptor_) != 0) return cannot_write(path_, errno);
  ::close(std::exchange(descriptor_, -1));
  return {};
}

}  // namespace halfarc
