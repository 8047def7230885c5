// Turns: what the hand did, so that the reading before and the one after teach how the telescope answers.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/logbook/database.h"

namespace halfarc {

struct TurnRow {
  std::int64_t id = 0;
  std::int64_t night = 0;
  Utc utc;              // when the hand was done
  std::string control;  // "screw-b"
  double amount = 0.0;  // in `unit`, signed as the control says
  std::string unit;
};

// Gives its number; `turn.id` is not looked at. Errors: a night that is not there; those of the file.
Result<std::int64_t> add_turn(Database& database, const TurnRow& turn);

// Those of one night, by time; those of the same instant in the order in which they were noted.
Result<std::vector<TurnRow>> turns_of(const Database& database, std::int64_t night);

// Those noted after the one of that number, whatever their night, in the order in which they were noted; 0 for all.
Result<std::vector<TurnRow>> turns_after(const Database& database, std::int64_t id);

// Takes back what was noted last of all, and gives it; nothing when no turn was ever noted.
Result<std::optional<TurnRow>> take_back_turn(Database& database);

}  // namespace halfarc
