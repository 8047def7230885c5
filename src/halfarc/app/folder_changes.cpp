#include "halfarc/app/folder_changes.h"

#include <poll.h>
#include <sys/inotify.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <utility>

namespace halfarc {
namespace {

constexpr std::uint32_t kEvents = IN_MODIFY | IN_CLOSE_WRITE | IN_MOVED_TO | IN_ONLYDIR;

// The events in what was read: each a header, then a name of its own length.
void append_changes(const char* bytes, std::size_t count, std::vector<FolderChange>& changes) {
  for (std::size_t at = 0; at + sizeof(inotify_event) <= count;) {
    inotify_event event{};
    std::memcpy(&event, bytes + at, sizeof event);
    const char* name = bytes + at + sizeof event;
    at += sizeof event + event.len;
    if ((event.mask & IN_Q_OVERFLOW) != 0U) {
      changes.push_back({FolderChange::What::lost, {}});
    } else if (event.len > 0) {
      const bool closed = (event.mask & (IN_CLOSE_WRITE | IN_MOVED_TO)) != 0U;
      changes.push_back({closed ? FolderChange::What::closed : FolderChange::What::written,
                         std::string(name, ::strnlen(name, event.len))});
    }
  }
}

}  // namespace

FolderChanges::FolderChanges(const std::filesystem::path& folder) {
  descriptor_ = ::inotify_init1(IN_NONBLOCK | IN_CLOEXEC);
  if (descriptor_ >= 0 && ::inotify_add_watch(descriptor_, folder.c_str(), kEvents) < 0)
    ::close(std::exchange(descriptor_, -1));
}

FolderChanges::FolderChanges(FolderChanges&& other) noexcept : descriptor_(std::exchange(other.descriptor_, -1)) {}

FolderChanges& FolderChanges::operator=(FolderChanges&& other) noexcept {
  std::swap(descriptor_, other.descriptor_);
  return *this;
}

FolderChanges::~FolderChanges() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

std::vector<FolderChange> FolderChanges::wait(Duration at_most) {
  pollfd asked{descriptor_, POLLIN, 0};  // a negative descriptor only waits
  std::vector<FolderChange> changes;
  if (::poll(&asked, 1, std::max(0, static_cast<int>(at_most.ms()))) <= 0) return changes;
  alignas(inotify_event) std::array<char, 16384> bytes;
  for (;;) {
    const ssize_t count = ::read(descriptor_, bytes.data(), bytes.size());
    if (count <= 0) return changes;
    append_changes(bytes.data(), static_cast<std::size_t>(count), changes);
  }
}

}  // namespace halfarc
