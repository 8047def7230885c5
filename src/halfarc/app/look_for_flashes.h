// Looking for flashes before the files are deleted: every frame of every run, and a strip of pictures of each find.
#pragma once

#include <filesystem>
#include <optional>
#include <span>
#include <vector>

#include "halfarc/base/duration.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"
#include "halfarc/restore/flash.h"

namespace halfarc {

struct FoundFlash {
  Flash flash;
  std::optional<Utc> at;        // its middle; nothing when the frames have no times
  std::filesystem::path strip;  // PNG: before, four moments of it, after
};

struct RunFlashes {
  std::filesystem::path run;
  FlashSearch search;
  std::vector<FoundFlash> found;
};

// Strips are written beside `output` as NAME-flash-1.png, ... Frames of a planet are laid on each other by their
// centroids, those of a surface that fills the frame as they are.
// Errors: those of find_flashes; no frame shows anything; cannot write.
Result<std::vector<RunFlashes>> look_for_flashes(std::span<const std::filesystem::path> runs,
                                                 const std::filesystem::path& output, Threads threads,
                                                 Progress& progress);

}  // namespace halfarc
