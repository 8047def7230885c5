#include "halfarc/app/keep_watch.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <chrono>
#include <optional>
#include <string_view>

#include "halfarc/app/arrivals.h"
#include "halfarc/app/folder_changes.h"
#include "halfarc/base/file_status.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

constexpr Duration kStopLatency = Duration::ms(200.0);  // how often to ask whether to stop
constexpr Duration kLookAgain = Duration::s(1.0);       // for what the system does not tell

bool is_recording_name(const fs::path& path) {
  constexpr std::array<std::string_view, 8> endings{".ser", ".fits", ".fit", ".fts", ".avi", ".mov", ".mp4", ".mkv"};
  std::string ending = path.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return std::find(endings.begin(), endings.end(), ending) != endings.end();
}

FileState state_of(const fs::path& path, const FileStatus& status) {
  return {status.identity, status.bytes, status.written.unix_ns(), is_readable(path)};
}

// A folder's own time changes with every picture that is put into it.
Listing list_folder(const fs::path& folder) {
  Listing listing;
  std::error_code problem;
  for (fs::directory_iterator at(folder, problem), end; !problem && at != end; at.increment(problem)) {
    const fs::path& path = at->path();
    const std::string name = path.filename().string();
    if (name.empty() || name.front() == '.') continue;
    const auto status = file_status(path);
    if (!status) continue;
    if (status->kind == FileKind::folder || (status->kind == FileKind::file && is_recording_name(path)))
      listing[name] = state_of(path, *status);
  }
  return listing;
}

class Watch {
 public:
  Watch(fs::path folder, const WatchHandlers& handlers, const Progress& progress)
      : folder_(std::move(folder)),
        handlers_(handlers),
        progress_(progress),
        changes_(folder_),
        inode_(inode()),
        arrivals_(list_folder(folder_)) {
    say("Watching " + folder_.string() + ": new recordings are checked as they are closed.");
    if (!changes_.is_told())
      say("The system tells nothing of changes in " + folder_.string() + ": it is looked at every second.");
  }

  void run() {
    Duration next_look;
    while (!progress_.stop_requested()) {
      const Duration patience = std::min(next_look - now(), arrivals_.patience(now()));
      const auto changes = changes_.wait(std::clamp(patience, Duration(), kStopLatency));
      for (const FolderChange& change : changes) arrivals_.changed(change);
      // What is being written is no news: a busy camera program is not slowed down by looking at every frame's write.
      const bool told = std::any_of(changes.begin(), changes.end(), [](const FolderChange& change) {
        return change.what != FolderChange::What::written;
      });
      if (!told && now() < next_look && !arrivals_.is_due(now())) continue;
      if (inode() != inode_ && !come_back()) return;
      hand_on(arrivals_.look(list_folder(folder_), now()));
      next_look = now() + kLookAgain;
    }
  }

 private:
  Duration now() const {
    return Duration::s(std::chrono::duration<double>(std::chrono::steady_clock::now() - begin_).count());
  }

  std::optional<std::uint64_t> inode() const {
    const auto status = file_status(folder_);
    return status && status->kind == FileKind::folder ? std::optional(status->identity) : std::nullopt;
  }

  // Waits for the folder when it is gone, and watches the one that is there now. False when asked to stop.
  bool come_back() {
    const bool was_gone = !inode();
    if (was_gone) say(folder_.string() + " is gone: waiting for it to come back.");
    while (!inode()) {
      if (progress_.stop_requested()) return false;
      FolderChanges(fs::path()).wait(kStopLatency);
    }
    changes_ = FolderChanges(folder_);
    inode_ = inode();
    arrivals_.changed({FolderChange::What::lost, {}});
    if (was_gone) say(folder_.string() + " is back.");
    return true;
  }

  void hand_on(const Arrivals::News& news) {
    for (const std::string& name : news.locked) say(name + " may not be read yet: it is checked when it may.");
    for (const std::string& name : news.ready) {
      if (progress_.stop_requested()) return;
      handlers_.ready(folder_ / name);
    }
  }

  void say(const std::string& text) const {
    if (handlers_.said) handlers_.said(text);
  }

  fs::path folder_;
  const WatchHandlers& handlers_;
  const Progress& progress_;
  std::chrono::steady_clock::time_point begin_ = std::chrono::steady_clock::now();
  FolderChanges changes_;
  std::optional<std::uint64_t> inode_;
  Arrivals arrivals_;
};

}  // namespace

Result<void> keep_watch(const fs::path& folder, const WatchHandlers& handlers, const Progress& progress) {
  std::error_code problem;
  if (!fs::is_directory(folder, problem))
    return bad_input("is no folder", folder.string(), "name the folder into which your camera program writes");
  Watch(folder, handlers, progress).run();
  return {};
}

}  // namespace halfarc
