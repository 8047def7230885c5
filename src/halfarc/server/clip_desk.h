// ClipDesk: the recordings as the pages see them, and the watch over the folder: a clip that was closed is checked,
// kept and told to every page. What was closed while no one watched, as after a restart, is read after the fact, newest
// first; it waits whenever a new one comes.
#pragma once

#include <atomic>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "halfarc/app/step_card.h"
#include "halfarc/server/served.h"

namespace halfarc::server {

class ClipDesk {
 public:
  explicit ClipDesk(Served& served) : served_(served) {}
  ~ClipDesk();  // ends the watch
  ClipDesk(const ClipDesk&) = delete;
  ClipDesk& operator=(const ClipDesk&) = delete;

  // Watches the folder on a thread of its own.
  void watch();

  // All recordings with the checks that are kept, newest first.
  std::vector<CheckedEntry> entries() const;

  // The document of one, checked now when it is not kept. One at a time. Errors: those of check_and_keep.
  Result<std::string> document(const ShelvedClip& clip);

  // Those of the night of the newest, oldest first, and that night's date.
  struct Night {
    std::string date;
    std::vector<CheckedEntry> entries;
  };
  Night last_night() const;

 private:
  class Until;
  void arrived(const std::filesystem::path& path);
  void catch_up();
  bool read_late(const ShelvedClip& clip);
  void tell(const ShelvedClip& clip, const Result<std::string>& document);

  Served& served_;
  std::mutex checking_;
  std::atomic<bool> ending_{false};
  std::atomic<int> asked_{0};  // documents that someone waits for
  std::thread thread_;
  std::thread late_thread_;
};

}  // namespace halfarc::server
