// Arrivals: which files of a watched folder are new recordings that nobody writes any more. No files and no clock: it
// is shown listings of the folder and what the system told of changes, each with the time.
//
// A file that its writer has closed is ready when it has stood still for a fifth of a second, since some programs open
// their file once more to put right its header. One of which nothing was told (a shared drive, a writer from before the
// watch) must stand still for three seconds. One that is being written is never ready, however long its writer rests.
// Each is ready once: neither a new name nor a folder that went away and came back makes it new; other content does.
#pragma once

#include <cstdint>
#include <map>
#include <set>
#include <string>
#include <tuple>
#include <vector>

#include "halfarc/app/folder_changes.h"
#include "halfarc/base/duration.h"

namespace halfarc {

struct FileState {
  std::uint64_t inode = 0;
  std::uint64_t size = 0;
  std::int64_t modified_ns = 0;
  bool readable = true;

  // The same content of the same file, under whatever name.
  auto identity() const { return std::tuple(inode, size, modified_ns); }
};

using Listing = std::map<std::string, FileState>;

class Arrivals {
 public:
  static constexpr Duration kAfterClose = Duration::ms(200.0);
  static constexpr Duration kUntold = Duration::s(3.0);

  // What is in the folder when the watch begins is not new.
  explicit Arrivals(const Listing& before);

  void changed(const FolderChange& change);

  struct News {
    std::vector<std::string> ready;   // in the order in which they were written last
    std::vector<std::string> locked;  // complete, but may not be read; each said once
  };
  News look(const Listing& listing, Duration now);

  // How long until a file may become ready if nothing changes, never below nil; a second when none waits.
  Duration patience(Duration now) const;
  bool is_due(Duration now) const { return patience(now) == Duration(); }

 private:
  enum class Writer { untold, writing, closed };
  struct Known {
    FileState state;
    Duration still_since;
    Writer writer = Writer::untold;
    bool done = false;
    bool said_locked = false;
  };
  bool waits(const Known& known) const;
  static Duration settling(const Known& known);

  std::map<std::string, Known> files_;
  std::map<std::string, Writer> told_;  // of names that no listing has shown yet
  std::set<std::tuple<std::uint64_t, std::uint64_t, std::int64_t>> seen_;
};

}  // namespace halfarc
