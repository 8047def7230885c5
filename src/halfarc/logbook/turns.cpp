#include "halfarc/logbook/turns.h"

namespace halfarc {
namespace {

const std::string kSelect = "SELECT id, night, utc_ns, control, amount, unit FROM turns ";

TurnRow row_of(const Statement& s) { return {s.integer(0), s.integer(1), s.utc(2), s.text(3), s.real(4), s.text(5)}; }

}  // namespace

Result<std::int64_t> add_turn(Database& database, const TurnRow& t) {
  HALFARC_CHECK(database.execute("INSERT INTO turns (night, utc_ns, control, amount, unit) VALUES (?, ?, ?, ?, ?)",
                                 t.night, t.utc, t.control, t.amount, t.unit));
  return database.last_id();
}

Result<std::vector<TurnRow>> turns_of(const Database& database, std::int64_t night) {
  return all_rows(database.ask(kSelect + "WHERE night = ? ORDER BY utc_ns, id", night), row_of);
}

Result<std::vector<TurnRow>> turns_after(const Database& database, std::int64_t id) {
  return all_rows(database.ask(kSelect + "WHERE id > ? ORDER BY id", id), row_of);
}

Result<std::optional<TurnRow>> take_back_turn(Database& database) {
  HALFARC_TRY(Transaction together, Transaction::begin(database));
  HALFARC_TRY(const auto last, all_rows(database.ask(kSelect + "ORDER BY id DESC LIMIT 1"), row_of));
  if (last.empty()) return std::optional<TurnRow>();
  HALFARC_CHECK(database.execute("DELETE FROM turns WHERE id = ?", last.front().id));
  HALFARC_CHECK(together.commit());
  return std::optional(last.front());
}

}  // namespace halfarc
