#include "halfarc/logbook/notes.h"

namespace halfarc {

Result<std::int64_t> add_note(Database& database, const NoteRow& n) {
  HALFARC_CHECK(database.execute("INSERT INTO notes (night, utc_ns, text, wind_m_per_s) VALUES (?, ?, ?, ?)", n.night,
                                 n.utc, n.text, n.wind_m_per_s));
  return database.last_id();
}

Result<std::vector<NoteRow>> notes_of(const Database& database, std::int64_t night) {
  constexpr std::string_view select =
      "SELECT id, night, utc_ns, text, wind_m_per_s FROM notes WHERE night = ? ORDER BY utc_ns, id";
  return all_rows(database.ask(select, night), [](const Statement& s) {
    return NoteRow{s.integer(0), s.integer(1), s.utc(2), s.text(3), s.maybe_real(4)};
  });
}

}  // namespace halfarc
