// GrowingFile: a recording as a capture program leaves it: under its own name from the first byte, growing while others
// look on. Everything else that halfarc writes is an AtomicFile.
//
// A file that is given up before close() is removed; one whose program was killed stays, cut off where it was.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <string_view>

#include "halfarc/base/result.h"

namespace halfarc {

class GrowingFile {
 public:
  // A new empty file; one of that name is replaced. Errors: folder missing or not writable; the name is a folder.
  static Result<GrowingFile> create(const std::filesystem::path& path);

  GrowingFile(GrowingFile&& other) noexcept;
  GrowingFile& operator=(GrowingFile&& other) noexcept;
  GrowingFile(const GrowingFile&) = delete;
  GrowingFile& operator=(const GrowingFile&) = delete;
  ~GrowingFile();

  const std::filesystem::path& path() const { return path_; }

  // Appends; others see it at once. Errors: disk full and the like.
  Result<void> write(std::span<const std::byte> bytes);
  Result<void> write(std::string_view text);

  // Syncs and lets go of the file. The object is spent afterwards.
  Result<void> close();

 private:
  GrowingFile() = default;
  void discard() noexcept;

  std::filesystem::path path_;
  int descriptor_ = -1;
};

}  // namespace halfarc
