// The logbook as one table of commas, a row a recording, reading, turn, image and note, for a spreadsheet. Lines end
// and cells are quoted as RFC 4180 says.
#pragma once

#include "halfarc/app/text_sink.h"
#include "halfarc/logbook/database.h"

namespace halfarc {

// Columns: night, date, site, utc, what, name, value, sigma, unit, text (the recording's path, the note).
// Errors: those of the file and of the sink.
Result<void> export_csv(const Database& database, const TextSink& sink);

}  // namespace halfarc
