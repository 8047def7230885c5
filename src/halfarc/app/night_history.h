// NightHistory: from the logbook to what advice is made of (advise/history.h), and what advice has learned back into
// the logbook.
//
// A response learned in a night is kept with the time of that night's last event. What was known before a night is
// therefore what was kept before its first event, and looking at a night again never counts its lessons twice.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "halfarc/advise/history.h"
#include "halfarc/advise/night_advice.h"
#include "halfarc/logbook/database.h"
#include "halfarc/logbook/readings.h"

namespace halfarc {

// A reading for advice as rows of the logbook, under the names of app/clip_readings.h. A covariance and the share of
// the air stand in rows of their own: coma_xy (waves^2), colours_xy (arcsec^2), colours_air (arcsec).
std::vector<ReadingRow> rows_of(const Reading& reading);

// The readings and turns of one night. Readings that advice does not know are passed over, as are turns of controls
// that it does not know. Errors: those of the file.
Result<History> night_history(const Database& database, std::int64_t night);

// What that telescope had taught before the first event of `history`. Errors: those of the file.
Result<Responses> responses_before(const Database& database, std::optional<std::int64_t> rig, const History& history);

// Keeps what was learned by the end of `history`, each with the number of turns it rests on: turns after which the same
// thing was read. What rests on none is not kept. Errors: those of the file.
Result<void> keep_responses(Database& database, std::optional<std::int64_t> rig, const History& history,
                            const Responses& learned);

}  // namespace halfarc
