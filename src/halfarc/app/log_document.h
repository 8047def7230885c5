// What the logbook says as the JSON document halfarc.log/1 (docs/contracts/log.schema.json).
#pragma once

#include <span>
#include <string>

#include "halfarc/app/night_log.h"
#include "halfarc/app/text_sink.h"
#include "halfarc/app/trends.h"
#include "halfarc/logbook/responses.h"

namespace halfarc {

std::string log_list_json(std::span<const NightRow> nights);
std::string log_night_json(const NightLog& night);
std::string log_trends_json(const Trends& trends, std::span<const ResponseRow> responses);
std::string noted_json(const NoteRow& note);

// What `halfarc turned` answers: halfarc.turned/1.
std::string turned_json(const TurnRow& turn);
std::string taken_back_json(const TurnRow& turn);

// Everything in one document: every night as log_night_json has it, and the responses.
// Errors: those of the file and of the sink.
Result<void> export_json(const Database& database, const TextSink& sink);

}  // namespace halfarc
