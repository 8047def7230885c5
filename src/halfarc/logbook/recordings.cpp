#include "halfarc/logbook/recordings.h"

namespace halfarc {

Result<std::int64_t> put_recording(Database& database, const RecordingRow& r) {
  constexpr std::string_view put = R"(
INSERT INTO recordings (night, rig, path, start_ns, end_ns, kind, target, frames, width, height)
VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
ON CONFLICT (path, start_ns) DO UPDATE SET
  night = excluded.night, rig = excluded.rig, end_ns = excluded.end_ns, frames = excluded.frames,
  width = excluded.width, height = excluded.height,
  kind = iif(excluded.kind = '', kind, excluded.kind), target = iif(excluded.target = '', target, excluded.target)
RETURNING id)";
  HALFARC_TRY(Statement put_row,
              database.ask(put, r.night, r.rig, r.path, r.start, r.end, r.kind, r.target, r.frames, r.width, r.height));
  HALFARC_TRY([[maybe_unused]] const bool row, put_row.next());
  const std::int64_t id = put_row.integer(0);
  HALFARC_TRY([[maybe_unused]] const bool more, put_row.next());
  return id;
}

Result<std::vector<RecordingRow>> recordings_of(const Database& database, std::int64_t night) {
  constexpr std::string_view select =
      "SELECT id, night, rig, path, start_ns, end_ns, kind, target, frames, width, height FROM recordings "
      "WHERE night = ? ORDER BY start_ns, id";
  return all_rows(database.ask(select, night), [](const Statement& s) {
    return RecordingRow{s.integer(0), s.integer(1), s.maybe_integer(2), s.text(3),    s.utc(4),     s.maybe_utc(5),
                        s.text(6),    s.text(7),    s.integer(8),       s.integer(9), s.integer(10)};
  });
}

}  // namespace halfarc
