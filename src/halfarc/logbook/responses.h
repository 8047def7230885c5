// Responses: how much a reading moves per unit of a control, as the telescope itself taught it.
//
// Every lesson is a row; the latest one of a rig, control and reading is what is known, the earlier ones tell how it
// came about.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/logbook/database.h"

namespace halfarc {

struct ResponseRow {
  std::optional<std::int64_t> rig;
  std::string control;  // "screw-b"
  std::string reading;  // "coma_x"
  double value = 0.0;
  double sigma = 0.0;
  std::string unit;        // "waves a turn"
  std::int64_t pairs = 0;  // before/after pairs it rests on
  Utc utc;                 // of the last of them
};

// Adds it, unless the same value, error and count are what is known already. Errors: those of the file.
Result<void> add_response(Database& database, const ResponseRow& response);

// What is known of that telescope: any rig of the same name and aperture; of all when none is given. With `before`,
// what was known before that instant. Errors: those of the file.
Result<std::vector<ResponseRow>> responses_of(const Database& database, std::optional<std::int64_t> rig,
                                              std::optional<Utc> before = std::nullopt);

}  // namespace halfarc
