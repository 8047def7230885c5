#include "halfarc/logbook/nights.h"

#include <algorithm>

#include "halfarc/base/duration.h"

namespace halfarc {
namespace {

const std::string kSelect = R"(
SELECT n.id, n.date, ifnull(s.name, ''),
  (SELECT count(*) FROM recordings WHERE night = n.id), (SELECT count(*) FROM turns WHERE night = n.id),
  (SELECT count(*) FROM images WHERE night = n.id), (SELECT count(*) FROM notes WHERE night = n.id),
  (SELECT min(start_ns) FROM recordings WHERE night = n.id), (SELECT max(start_ns) FROM recordings WHERE night = n.id),
  (SELECT group_concat(target, ', ') FROM
    (SELECT DISTINCT target FROM recordings WHERE night = n.id AND target <> '' ORDER BY target))
FROM nights n LEFT JOIN sites s ON s.id = n.site )";

NightRow row_of(const Statement& s) {
  return {s.integer(0), s.text(1),    s.text(2),      s.integer(3),   s.integer(4),
          s.integer(5), s.integer(6), s.maybe_utc(7), s.maybe_utc(8), s.text(9)};
}

// Text to be found as it is: LIKE's own signs lose their meaning.
std::string anywhere(const std::string& text) {
  std::string pattern = "%";
  for (const char c : text) {
    if (c == '%' || c == '_' || c == '\\') pattern += '\\';
    pattern += c;
  }
  return pattern + "%";
}

}  // namespace

std::string night_date(Utc at, Angle longitude) {
  return (at + Duration::hours(longitude.deg() / 15.0 - 12.0)).iso(0).substr(0, 10);
}

Result<std::int64_t> put_night(Database& database, const std::string& date, std::optional<std::int64_t> site) {
  HALFARC_CHECK(database.execute("INSERT OR IGNORE INTO nights (date, site) VALUES (?, ?)", date, site));
  return database.number("SELECT id FROM nights WHERE date = ? AND ifnull(site, 0) = ?", date,
                         site.value_or(std::int64_t{0}));
}

Result<std::vector<NightRow>> nights(const Database& database, const NightChoice& choice) {
  const std::string where = choice.search.empty() ? "WHERE ?1 = '%%'" : R"(WHERE n.id IN (
    SELECT night FROM notes WHERE text LIKE ?1 ESCAPE '\' UNION
    SELECT night FROM recordings WHERE target LIKE ?1 ESCAPE '\' OR path LIKE ?1 ESCAPE '\'))";
  HALFARC_TRY(auto found, all_rows(database.ask(kSelect + where + " ORDER BY n.date DESC, n.id DESC LIMIT ?2",
                                                anywhere(choice.search), choice.last.value_or(std::int64_t{-1})),
                                   row_of));
  std::reverse(found.begin(), found.end());
  return found;
}

Result<std::optional<NightRow>> night(const Database& database, std::int64_t id) {
  HALFARC_TRY(Statement rows, database.ask(kSelect + "WHERE n.id = ?", id));
  HALFARC_TRY(const bool found, rows.next());
  return found ? std::optional(row_of(rows)) : std::nullopt;
}

}  // namespace halfarc
