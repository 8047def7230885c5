// What the logbook says, in words for the owner.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "halfarc/app/night_log.h"
#include "halfarc/app/trends.h"
#include "halfarc/logbook/responses.h"

namespace halfarc {

// A line a night, oldest first, so that the latest stands above the prompt.
std::string log_list_words(std::span<const NightRow> nights);

// What was recorded (with its main readings), turned, made and noted in a night, in the order of its hours.
struct LogLine {
  Utc utc;
  std::string words;
};
std::vector<LogLine> log_lines(const NightLog& night);

// One night in the order of its hours: recordings with their main readings, turns, images, notes.
std::string log_night_words(const NightLog& night);

std::string log_trends_words(const Trends& trends, std::span<const ResponseRow> responses);

// "Noted at 21:04 UTC."
std::string noted_words(const NoteRow& note);

}  // namespace halfarc
