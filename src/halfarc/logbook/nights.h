// Nights: one session a row, from one local noon to the next at the site's longitude, so that an evening and the
// morning after it belong together.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/logbook/database.h"

namespace halfarc {

// The date of the evening, "2026-11-25", of the night that `at` belongs to. Local mean solar time: UTC plus an hour for
// each 15 degrees of east longitude. Valid: any longitude. Accuracy: exact; true noon is up to 17 minutes away.
std::string night_date(Utc at, Angle longitude);

// The night with that date at that site (without one where none is known), added when it is not there.
// Errors: those of the file.
Result<std::int64_t> put_night(Database& database, const std::string& date, std::optional<std::int64_t> site);

struct NightRow {
  std::int64_t id = 0;
  std::string date;
  std::string site;  // its name, may be empty
  std::int64_t recordings = 0, turns = 0, images = 0, notes = 0;
  std::optional<Utc> first, last;  // start of the earliest and latest recording
  std::string targets;             // separated by ", "
};

struct NightChoice {
  std::string search;                // only nights in whose notes, targets or file names this stands; empty: all
  std::optional<std::int64_t> last;  // only so many, the latest
};

// The nights chosen, oldest first. Errors: those of the file.
Result<std::vector<NightRow>> nights(const Database& database, const NightChoice& choice);

// One night; nothing when there is none of that number.
Result<std::optional<NightRow>> night(const Database& database, std::int64_t id);

}  // namespace halfarc
