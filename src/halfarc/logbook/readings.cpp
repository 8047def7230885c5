#include "halfarc/logbook/readings.h"

#include <cmath>

namespace halfarc {

Result<void> replace_readings(Database& database, std::int64_t recording, std::string_view reader,
                              std::span<const ReadingRow> readings) {
  HALFARC_CHECK(database.execute("DELETE FROM readings WHERE recording = ? AND reader = ?", recording, reader));
  for (const ReadingRow& r : readings) {
    if (!std::isfinite(r.value) || !std::isfinite(r.sigma.value_or(0.0))) continue;
    HALFARC_CHECK(database.execute("INSERT INTO readings VALUES (?, ?, ?, ?, ?, ?)", recording, reader, r.name, r.value,
                                   r.sigma, r.unit));
  }
  return {};
}

Result<std::vector<KeptReading>> readings_of(const Database& database, std::int64_t night) {
  constexpr std::string_view select =
      "SELECT r.recording, r.reader, r.name, r.value, r.sigma, r.unit FROM recordings c "
      "JOIN readings r ON r.recording = c.id WHERE c.night = ? ORDER BY c.start_ns, c.id, r.reader, r.name";
  return all_rows(database.ask(select, night), [](const Statement& s) {
    return KeptReading{s.integer(0), s.text(1), {s.text(2), s.real(3), s.maybe_real(4), s.text(5)}};
  });
}

Result<std::vector<DatedReading>> readings_named(const Database& database, std::string_view name,
                                                 const RigChoice& choice) {
  constexpr std::string_view select = R"(
SELECT c.night, c.start_ns, ifnull(s.longitude_deg, 0), r.value, r.sigma,
  (SELECT wind_m_per_s FROM notes WHERE night = c.night AND wind_m_per_s IS NOT NULL
     AND utc_ns BETWEEN c.start_ns - 10800000000000 AND c.start_ns ORDER BY utc_ns DESC LIMIT 1)
FROM readings r JOIN recordings c ON c.id = r.recording JOIN nights n ON n.id = c.night
  LEFT JOIN sites s ON s.id = n.site
WHERE r.name = ?1 AND r.sigma IS NOT NULL AND (?2 IS NULL OR c.rig = ?2)
  AND (?3 IS NULL OR c.rig IN (SELECT other.id FROM rigs other JOIN rigs one
    ON (other.name, other.aperture_mm) = (one.name, one.aperture_mm) WHERE one.id = ?3))
ORDER BY c.start_ns, c.id)";
  return all_rows(database.ask(select, name, choice.rig, choice.telescope), [](const Statement& s) {
    return DatedReading{s.integer(0), s.utc(1), s.real(2), s.real(3), s.real(4), s.maybe_real(5)};
  });
}

}  // namespace halfarc
