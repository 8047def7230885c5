#include "halfarc/logbook/responses.h"

#include <algorithm>

namespace halfarc {

Result<std::vector<ResponseRow>> responses_of(const Database& database, std::optional<std::int64_t> rig,
                                              std::optional<Utc> before) {
  constexpr std::string_view select = R"(
SELECT rig, control, reading, value, sigma, unit, pairs, utc_ns, max(id) FROM responses
WHERE (?2 IS NULL OR utc_ns < ?2) AND (?1 IS NULL OR rig IN (SELECT other.id FROM rigs other JOIN rigs one
  ON (other.name, other.aperture_mm) = (one.name, one.aperture_mm) WHERE one.id = ?1))
GROUP BY control, reading ORDER BY control, reading)";
  return all_rows(database.ask(select, rig, before), [](const Statement& s) {
    return ResponseRow{s.maybe_integer(0), s.text(1), s.text(2),    s.real(3),
                       s.real(4),          s.text(5), s.integer(6), s.utc(7)};
  });
}

Result<void> add_response(Database& database, const ResponseRow& r) {
  HALFARC_TRY(const auto known, responses_of(database, r.rig));
  const bool same = std::any_of(known.begin(), known.end(), [&](const ResponseRow& k) {
    return k.control == r.control && k.reading == r.reading && k.value == r.value && k.sigma == r.sigma &&
           k.pairs == r.pairs;
  });
  if (same) return {};
  return database.execute(
      "INSERT INTO responses (rig, control, reading, value, sigma, unit, pairs, utc_ns) VALUES (?, ?, ?, ?, ?, ?, ?, "
      "?)",
      r.rig, r.control, r.reading, r.value, r.sigma, r.unit, r.pairs, r.utc);
}

}  // namespace halfarc
