// Schema: the tables of the logbook, and how an older logbook becomes one of today.
//
// Changes to the tables are numbered steps that are never edited, only added to. The file remembers how many it has
// taken (SQLite's user_version). Before the first missing step a copy is put beside the file, under its name and the
// number it had: logbook.db.1. All missing steps happen together or not at all.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <string>

#include "halfarc/base/result.h"
#include "halfarc/logbook/database.h"

namespace halfarc {

// Opens the logbook `file`; with Access::write it is made, or brought up to date, first.
// Errors: those of Database::open; a database of something else; a logbook of a newer halfarc, or for reading of an
// older one.
Result<Database> open_logbook(const std::filesystem::path& file, Access access);

// How many steps there are today.
std::int64_t logbook_version();

// Brings the tables up to date with `steps`, of which the file has taken the first user_version.
// Errors: a file that has taken more; a copy that cannot be written; those of the file.
Result<void> migrate(Database& database, std::span<const std::string> steps);

}  // namespace halfarc
