// ClipShelf: the recordings of the watched folder, each with an id that holds no path, and what `check` said of them.
//
// Only files and folders that lie in the folder itself are on the shelf: no links, and nothing below. The documents of
// `check` are kept in the home folder and stand as long as the recording is the same; so a list of a whole season is
// there at once, after a restart too.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "halfarc/app/check_clip.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"

namespace halfarc {

struct ShelvedClip {
  std::string id;  // 16 hexadecimal digits, the same as long as the name is
  std::filesystem::path path;
  std::string name;  // in the folder
  std::uint64_t bytes = 0;
  Utc written;
};

// The id of a name: FNV-1a, 64 bit. Source: [Fowler2012].
std::string id_of_name(std::string_view name);

// Newest first; none when the folder is not there.
std::vector<ShelvedClip> clips_in(const std::filesystem::path& folder);
std::optional<ShelvedClip> find_clip(const std::filesystem::path& folder, const std::string& id);
// The one of that path, if it is on the shelf.
std::optional<ShelvedClip> clip_at(const std::filesystem::path& path);

// The document of an earlier check, if the recording is still the same.
std::optional<std::string> kept_check(const std::filesystem::path& home, const ShelvedClip& clip);

// Checks it with the owner's rig, and with the target where the whole name of one stands in the file's name, keeps the
// document, and writes the readings into the logbook. What goes wrong with keeping is told in `trouble`, and never
// loses the reading. Errors: those of check_clip, and of the home folder's files.
struct CheckedClip {
  std::string document;  // halfarc.check/1
  std::string trouble;
};
Result<CheckedClip> check_and_keep(const std::filesystem::path& home, const ShelvedClip& clip, Threads threads,
                                   Progress& progress);

}  // namespace halfarc
