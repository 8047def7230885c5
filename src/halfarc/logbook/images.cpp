#include "halfarc/logbook/images.h"

namespace halfarc {

Result<std::int64_t> put_image(Database& database, const ImageRow& i, std::span<const std::int64_t> recordings) {
  HALFARC_CHECK(database.execute("DELETE FROM images WHERE path = ?", i.path));
  HALFARC_CHECK(database.execute(
      "INSERT INTO images (night, utc_ns, path, frames_read, frames_used, resolved_arcsec, resolved_sigma) "
      "VALUES (?, ?, ?, ?, ?, ?, ?)",
      i.night, i.utc, i.path, i.frames_read, i.frames_used, i.resolved_arcsec, i.resolved_sigma));
  const std::int64_t id = database.last_id();
  for (const std::int64_t recording : recordings)
    HALFARC_CHECK(database.execute("INSERT OR IGNORE INTO image_recordings VALUES (?, ?)", id, recording));
  return id;
}

Result<std::vector<std::int64_t>> runs_of(const Database& database, std::int64_t image) {
  return all_rows(database.ask("SELECT recording FROM image_recordings WHERE image = ? ORDER BY recording", image),
                  [](const Statement& s) { return s.integer(0); });
}

Result<std::vector<ImageRow>> images_of(const Database& database, std::int64_t night) {
  constexpr std::string_view select =
      "SELECT id, night, utc_ns, path, frames_read, frames_used, resolved_arcsec, resolved_sigma FROM images "
      "WHERE night = ? ORDER BY utc_ns, id";
  return all_rows(database.ask(select, night), [](const Statement& s) {
    return ImageRow{s.integer(0), s.integer(1), s.utc(2),        s.text(3),
                    s.integer(4), s.integer(5), s.maybe_real(6), s.maybe_real(7)};
  });
}

}  // namespace halfarc
