#include "halfarc/app/night_log.h"

#include <charconv>
#include <iterator>
#include <utility>

namespace halfarc {
namespace {

std::optional<std::int64_t> whole_number(const std::string& words) {
  std::int64_t value = 0;
  const char* end = words.data() + words.size();
  const auto read = std::from_chars(words.data(), end, value);
  return read.ec == std::errc() && read.ptr == end ? std::optional(value) : std::nullopt;
}

}  // namespace

Result<NightLog> night_log(const Database& database, const NightRow& night) {
  NightLog log;
  log.night = night;
  HALFARC_TRY(auto rows, recordings_of(database, night.id));
  HALFARC_TRY(auto readings, readings_of(database, night.id));
  auto next = readings.begin();  // in the order of the recordings
  for (RecordingRow& row : rows) {
    const auto first = next;
    while (next != readings.end() && next->recording == row.id) ++next;
    log.recordings.push_back({std::move(row), {std::make_move_iterator(first), std::make_move_iterator(next)}});
  }
  HALFARC_TRY(log.turns, turns_of(database, night.id));
  HALFARC_TRY(log.images, images_of(database, night.id));
  HALFARC_TRY(log.notes, notes_of(database, night.id));
  return log;
}

Result<NightRow> night_named(const Database& database, const std::string& words) {
  std::int64_t id = 0;
  if (const auto number = whole_number(words)) {
    id = *number;
  } else {
    HALFARC_TRY(id, database.number("SELECT max(id) FROM nights WHERE date = ?", words));
  }
  HALFARC_TRY(auto found, night(database, id));
  if (found) return std::move(*found);
  return bad_input("the logbook has no night \"" + words + "\"", database.file().string(),
                   "halfarc log list shows numbers and dates");
}

}  // namespace halfarc
