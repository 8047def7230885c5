// LogAsked: what the pages ask of the logbook and write into it, in words and documents (halfarc.log/1). A home folder
// without a logbook has an empty one.
#pragma once

#include <filesystem>
#include <string>

#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"

namespace halfarc {

// The nights in whose notes, targets or file names `search` stands; all when it is empty. Errors: those of the file.
Result<std::string> log_list_asked(const std::filesystem::path& home, const std::string& search);

// One night, by its number or its evening's date. Errors: no such night; those of the file.
Result<std::string> log_night_asked(const std::filesystem::path& home, const std::string& night);

// What the seasons taught. Errors: those of the files.
Result<std::string> log_trends_asked(const std::filesystem::path& home);

// All of it, as one table or one document. Errors: no logbook yet; those of the file.
Result<std::string> log_export_asked(const std::filesystem::path& home, bool as_table);

// Writes a note; or what the hand did, and gives the line that says so. When it returns without an Error it is on the
// disk. Errors: no text, a control or amount that cannot be read (bad input); those of the file.
Result<void> note_asked(const std::filesystem::path& home, const std::string& text, Utc now);
Result<std::string> turned_asked(const std::filesystem::path& home, const std::string& control,
                                 const std::string& amount, Utc now);

}  // namespace halfarc
