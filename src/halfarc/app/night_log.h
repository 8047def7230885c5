// NightLog: all that the logbook holds of one night, as one plain value.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/logbook/images.h"
#include "halfarc/logbook/nights.h"
#include "halfarc/logbook/notes.h"
#include "halfarc/logbook/readings.h"
#include "halfarc/logbook/recordings.h"
#include "halfarc/logbook/turns.h"

namespace halfarc {

struct LoggedRecording {
  RecordingRow row;
  std::vector<KeptReading> readings;
};

struct NightLog {
  NightRow night;
  std::vector<LoggedRecording> recordings;
  std::vector<TurnRow> turns;
  std::vector<ImageRow> images;
  std::vector<NoteRow> notes;
};

// Errors: those of the file.
Result<NightLog> night_log(const Database& database, const NightRow& night);

// The night that the owner means: its number, or the date of its evening (of several sites the latest added).
// Errors: no such night (bad input); those of the file.
Result<NightRow> night_named(const Database& database, const std::string& words);

}  // namespace halfarc
