#include "halfarc/server/home_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <array>
#include <utility>

namespace halfarc::server {

Result<HomeLock> HomeLock::take(const std::filesystem::path& home) {
  if (home.empty())
    return bad_input("nothing says where halfarc may keep its files", {}, "set HALFARC_HOME to a folder");
  std::error_code problem;
  std::filesystem::create_directories(home, problem);
  const std::filesystem::path file = home / "serve.lock";
  const int descriptor = problem ? -1 : open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0600);
  if (descriptor < 0)
    return failed("the folder cannot be written", home.string(), "set HALFARC_HOME to a folder that you may write to");
  HomeLock lock(descriptor);
  if (flock(descriptor, LOCK_EX | LOCK_NB) == 0) return lock;
  std::array<char, 200> text{};
  const ssize_t count = pread(descriptor, text.data(), text.size(), 0);
  const std::string address(text.data(), count > 0 ? static_cast<std::size_t>(count) : 0);
  return failed("another halfarc serves this home folder already", home.string(),
                address.empty() ? "end it first" : "open " + address + ", or end it first");
}

void HomeLock::tell(const std::string& address) const {
  // A line that cannot be written is missed by nobody but the second server's owner.
  if (ftruncate(descriptor_, 0) == 0) [[maybe_unused]]
    const ssize_t written = pwrite(descriptor_, address.data(), address.size(), 0);
}

HomeLock::HomeLock(HomeLock&& other) noexcept : descriptor_(std::exchange(other.descriptor_, -1)) {}

HomeLock::~HomeLock() {
  if (descriptor_ >= 0) close(descriptor_);
}

}  // namespace halfarc::server
