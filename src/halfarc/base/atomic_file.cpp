#include "halfarc/base/atomic_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <utility>

#include "halfarc/base/disk.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

fs::path folder_of(const fs::path& path) { return path.has_parent_path() ? path.parent_path() : fs::path("."); }

// A new empty file beside `path`, under a name nobody else has; its permissions are those the owner's umask leaves.
int create_beside(const fs::path& path, std::string& created) {
  for (int attempt = 0;; ++attempt) {
    const std::string suffix = "." + std::to_string(::getpid()) + "-" + std::to_string(attempt);
    created = (folder_of(path) / ("." + path.filename().string() + suffix)).string();
    const int descriptor = ::open(created.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (descriptor >= 0 || errno != EEXIST) return descriptor;
  }
}

// Opens the name afresh: a library that was lent the path may have replaced the file behind it.
Result<void> sync_to_disk(const fs::path& temporary, const fs::path& final_path) {
  const int descriptor = ::open(temporary.c_str(), O_RDONLY | O_CLOEXEC);
  if (descriptor < 0) return cannot_write(final_path, errno);
  const int error_number = ::fsync(descriptor) == 0 ? 0 : errno;
  ::close(descriptor);
  if (error_number != 0) return cannot_write(final_path, error_number);
  return {};
}

}  // namespace

Result<AtomicFile> AtomicFile::create(const fs::path& final_path) {
  std::error_code ignored;
  if (!final_path.has_filename() || fs::is_directory(final_path, ignored)) {
    return failed("is a folder, not a file name", final_path.string(), "give the file a name");
  }
  if (fs::exists(final_path, ignored) && !fs::is_regular_file(final_path, ignored)) {
    return failed("is a device or pipe, which halfarc does not replace", final_path.string(), "give a file name");
  }
  std::string name;
  AtomicFile file;
  file.descriptor_ = create_beside(final_path, name);
  if (file.descriptor_ < 0) return cannot_write(final_path, errno);
  file.final_ = final_path;
  file.temporary_ = name;
  return file;
}

AtomicFile::AtomicFile(AtomicFile&& other) noexcept { *this = std::move(other); }

AtomicFile& AtomicFile::operator=(AtomicFile&& other) noexcept {
  if (this == &other) return *this;
  discard();
  final_ = std::move(other.final_);
  temporary_ = std::move(other.temporary_);
  descriptor_ = std::exchange(other.descriptor_, -1);
  other.temporary_.clear();
  return *this;
}

AtomicFile::~AtomicFile() { discard(); }

void AtomicFile::discard() noexcept {
  if (descriptor_ >= 0) ::close(descriptor_);
  if (!temporary_.empty()) ::unlink(temporary_.c_str());
  descriptor_ = -1;
  temporary_.clear();
}

Result<void> AtomicFile::write(std::span<const std::byte> bytes) { return write_all(descriptor_, bytes, final_); }

Result<void> AtomicFile::write(std::string_view text) { return write(std::as_bytes(std::span(text))); }

Result<void> AtomicFile::commit() {
  HALFARC_CHECK(sync_to_disk(temporary_, final_));
  if (::rename(temporary_.c_str(), final_.c_str()) != 0) return cannot_write(final_, errno);
  temporary_.clear();
  ::close(std::exchange(descriptor_, -1));
  // The rename itself must survive a power cut; a file system that cannot sync a folder is not an error.
  if (const int folder = ::open(folder_of(final_).c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC); folder >= 0) {
    ::fsync(folder);
    ::close(folder);
  }
  return {};
}

Result<void> write_file(const fs::path& path, std::string_view text) {
  HALFARC_TRY(AtomicFile file, AtomicFile::create(path));
  HALFARC_CHECK(file.write(text));
  return file.commit();
}

}  // namespace halfarc
