// Recordings: what was recorded in a night; each stands once, however often it is read.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/logbook/database.h"

namespace halfarc {

struct RecordingRow {
  std::int64_t id = 0;
  std::int64_t night = 0;
  std::optional<std::int64_t> rig;
  std::string path;
  Utc start;
  std::optional<Utc> end;
  std::string kind;    // "planet", "star", ... as `check` calls it
  std::string target;  // may be empty
  std::int64_t frames = 0, width = 0, height = 0;
};

// Adds it, or brings the row of the same path and start up to date; an empty kind or target leaves what is there.
// Gives its number; `recording.id` is not looked at. Errors: a night or rig that is not there; those of the file.
Result<std::int64_t> put_recording(Database& database, const RecordingRow& recording);

// Those of one night, by their start. Errors: those of the file.
Result<std::vector<RecordingRow>> recordings_of(const Database& database, std::int64_t night);

}  // namespace halfarc
