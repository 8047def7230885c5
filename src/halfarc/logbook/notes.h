// Notes: what the owner wrote down, in words, and the wind where it was told.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/logbook/database.h"

namespace halfarc {

struct NoteRow {
  std::int64_t id = 0;
  std::int64_t night = 0;
  Utc utc;
  std::string text;
  std::optional<double> wind_m_per_s;
};

// Gives its number; `note.id` is not looked at. Errors: a night that is not there; those of the file.
Result<std::int64_t> add_note(Database& database, const NoteRow& note);

// Those of one night, by time. Errors: those of the file.
Result<std::vector<NoteRow>> notes_of(const Database& database, std::int64_t night);

}  // namespace halfarc
