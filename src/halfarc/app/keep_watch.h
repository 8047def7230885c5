// keep_watch: a folder into which the owner's capture program writes; every new recording is handed on once, as soon as
// it is closed, in the order in which they were closed.
//
// Recordings are files with the endings of those we read (.ser, .fits, .fit, .fts, .avi, .mov, .mp4, .mkv) and folders
// of numbered pictures. A folder that goes away, as a drive that is unplugged, is waited for.
#pragma once

#include <filesystem>
#include <functional>
#include <string>

#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"

namespace halfarc {

struct WatchHandlers {
  std::function<void(const std::filesystem::path&)> ready;  // takes as long as it likes; what comes meanwhile waits
  std::function<void(const std::string&)> said;             // one plain sentence on what goes on; may be empty
};

// Returns when `progress` asks it to stop, within a fifth of a second of it. Recordings that are there when it begins
// are not new. Accuracy: `ready` is called within 0.5 s of a recording's close, unless it is still at work.
// Errors (bad input): no such folder at the beginning.
Result<void> keep_watch(const std::filesystem::path& folder, const WatchHandlers& handlers, const Progress& progress);

}  // namespace halfarc
