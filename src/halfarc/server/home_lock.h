// HomeLock: one server a home folder. It is held by the process, not by the file: a server that was killed leaves none.
#pragma once

#include <filesystem>
#include <string>

#include "halfarc/base/result.h"

namespace halfarc::server {

class HomeLock {
 public:
  // Takes it; the folder is made when it is not there. Errors: another server has it (failed; says its address); the
  // folder cannot be written.
  static Result<HomeLock> take(const std::filesystem::path& home);

  // Tells who finds it taken where we are.
  void tell(const std::string& address) const;

  HomeLock(HomeLock&& other) noexcept;
  HomeLock& operator=(HomeLock&&) = delete;
  HomeLock(const HomeLock&) = delete;
  HomeLock& operator=(const HomeLock&) = delete;
  ~HomeLock();

 private:
  explicit HomeLock(int descriptor) : descriptor_(descriptor) {}
  int descriptor_;
};

}  // namespace halfarc::server
