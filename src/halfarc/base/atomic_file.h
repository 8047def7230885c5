// AtomicFile: an output that exists complete under its final name, or not at all.
//
// Bytes go to a temporary name in the same folder; commit() flushes them to the disk and renames. A crash, a kill
// or a full disk leaves at most the temporary file, never half a result under the name the owner asked for.
#pragma once

#include <filesystem>
#include <span>
#include <string_view>

#include "halfarc/base/result.h"

namespace halfarc {

class AtomicFile {
 public:
  // Creates the temporary file, with the permissions the owner's umask leaves. Errors: folder missing or not
  // writable; the final name is a folder, a device or a pipe.
  static Result<AtomicFile> create(const std::filesystem::path& final_path);

  AtomicFile(AtomicFile&& other) noexcept;
  AtomicFile& operator=(AtomicFile&& other) noexcept;
  AtomicFile(const AtomicFile&) = delete;
  AtomicFile& operator=(const AtomicFile&) = delete;
  ~AtomicFile();  // removes the temporary file unless committed

  // For libraries that insist on opening a path themselves; it exists and is empty.
  const std::filesystem::path& temporary_path() const { return temporary_; }

  // Appends. Errors: disk full and the like.
  Result<void> write(std::span<const std::byte> bytes);
  Result<void> write(std::string_view text);

  // Flushes, syncs, renames over the final name, and syncs the folder. The object is spent afterwards.
  Result<void> commit();

 private:
  AtomicFile() = default;
  void discard() noexcept;

  std::filesystem::path final_;
  std::filesystem::path temporary_;
  int descriptor_ = -1;
};

// The whole of `text` as the file `path`, atomically.
Result<void> write_file(const std::filesystem::path& path, std::string_view text);

}  // namespace halfarc
