// FolderChanges: what the system tells of a folder while programs write into it. The one place that knows how this
// system does that (inotify); where it cannot, as on some network drives, nothing is told and the folder must be looked
// at again and again.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "halfarc/base/duration.h"

namespace halfarc {

struct FolderChange {
  enum class What {
    written,  // some program has it open and wrote
    closed,   // whoever wrote has closed it, or it was moved here
    lost,     // more happened than could be told: nothing is known of any file
  };
  What what = What::written;
  std::string name;  // in the folder; empty when lost
};

class FolderChanges {
 public:
  // Begins to watch. Never fails: see is_told.
  explicit FolderChanges(const std::filesystem::path& folder);
  FolderChanges(FolderChanges&& other) noexcept;
  FolderChanges& operator=(FolderChanges&& other) noexcept;
  FolderChanges(const FolderChanges&) = delete;
  FolderChanges& operator=(const FolderChanges&) = delete;
  ~FolderChanges();

  // Whether the system tells anything. Files that another machine writes on a shared drive it never tells of.
  bool is_told() const { return descriptor_ >= 0; }

  // Waits until something has changed, but at most so long; signals end it early. What has changed, in order.
  std::vector<FolderChange> wait(Duration at_most);

 private:
  int descriptor_ = -1;
};

}  // namespace halfarc
