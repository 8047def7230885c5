#include "halfarc/logbook/schema.h"

#include <vector>

#include "halfarc/base/atomic_file.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

// "half" in ASCII: tells a logbook from the databases of other programs.
constexpr std::int64_t kApplication = 0x68616c66;

// Instants are nanoseconds since 1970 (base/utc.h). Names of readings and controls are text, so that a new one needs no
// new table.
const std::vector<std::string>& steps_of_halfarc() {
  static const std::vector<std::string> steps{R"(
CREATE TABLE sites (
  id INTEGER PRIMARY KEY, name TEXT NOT NULL, latitude_deg REAL NOT NULL, longitude_deg REAL NOT NULL,
  height_m REAL NOT NULL, UNIQUE (name, latitude_deg, longitude_deg, height_m));

CREATE TABLE rigs (
  id INTEGER PRIMARY KEY, name TEXT NOT NULL, aperture_mm REAL NOT NULL, focal_length_mm REAL NOT NULL,
  arcsec_per_px REAL NOT NULL, UNIQUE (name, aperture_mm, focal_length_mm, arcsec_per_px));

CREATE TABLE nights (
  id INTEGER PRIMARY KEY, date TEXT NOT NULL, site INTEGER REFERENCES sites);
CREATE UNIQUE INDEX night_of_site ON nights (date, ifnull(site, 0));

CREATE TABLE recordings (
  id INTEGER PRIMARY KEY, night INTEGER NOT NULL REFERENCES nights, rig INTEGER REFERENCES rigs,
  path TEXT NOT NULL, start_ns INTEGER NOT NULL, end_ns INTEGER, kind TEXT NOT NULL, target TEXT NOT NULL,
  frames INTEGER NOT NULL, width INTEGER NOT NULL, height INTEGER NOT NULL, UNIQUE (path, start_ns));
CREATE INDEX recordings_of_night ON recordings (night, start_ns);

CREATE TABLE readings (
  recording INTEGER NOT NULL REFERENCES recordings ON DELETE CASCADE, reader TEXT NOT NULL, name TEXT NOT NULL,
  value REAL NOT NULL, sigma REAL, unit TEXT NOT NULL, PRIMARY KEY (recording, reader, name)) WITHOUT ROWID;
CREATE INDEX readings_by_name ON readings (name, recording);

CREATE TABLE turns (
  id INTEGER PRIMARY KEY, night INTEGER NOT NULL REFERENCES nights, utc_ns INTEGER NOT NULL, control TEXT NOT NULL,
  amount REAL NOT NULL, unit TEXT NOT NULL);
CREATE INDEX turns_of_night ON turns (night, utc_ns);

CREATE TABLE responses (
  id INTEGER PRIMARY KEY, rig INTEGER REFERENCES rigs, control TEXT NOT NULL, reading TEXT NOT NULL,
  value REAL NOT NULL, sigma REAL NOT NULL, unit TEXT NOT NULL, pairs INTEGER NOT NULL, utc_ns INTEGER NOT NULL);
CREATE INDEX responses_of_rig ON responses (rig, control, reading, utc_ns);

CREATE TABLE images (
  id INTEGER PRIMARY KEY, night INTEGER NOT NULL REFERENCES nights, utc_ns INTEGER NOT NULL, path TEXT NOT NULL,
  frames_read INTEGER NOT NULL, frames_used INTEGER NOT NULL, resolved_arcsec REAL, resolved_sigma REAL);
CREATE INDEX images_of_night ON images (night, utc_ns);
CREATE TABLE image_recordings (
  image INTEGER NOT NULL REFERENCES images ON DELETE CASCADE, recording INTEGER NOT NULL REFERENCES recordings,
  PRIMARY KEY (image, recording)) WITHOUT ROWID;

CREATE TABLE notes (
  id INTEGER PRIMARY KEY, night INTEGER NOT NULL REFERENCES nights, utc_ns INTEGER NOT NULL, text TEXT NOT NULL,
  wind_m_per_s REAL);
CREATE INDEX notes_of_night ON notes (night, utc_ns);
)"};
  return steps;
}

Result<std::int64_t> steps_taken(const Database& database) { return database.number("PRAGMA user_version"); }

Error newer(const Database& database, std::int64_t taken, std::size_t known) {
  return bad_input("was written by a newer halfarc (logbook " + std::to_string(taken) + ", this one knows " +
                       std::to_string(known) + ")",
                   database.file().string(), "update halfarc, or set HALFARC_HOME to another folder");
}

// A file that other tables fill, or that another program made, is not ours to change. One statement sees one state of
// the file: with two, another process could write its first tables in between.
Result<void> check_owner(const Database& database) {
  HALFARC_TRY(const std::int64_t ours,
              database.number("SELECT application_id = " + std::to_string(kApplication) +
                              " OR (application_id = 0 AND (SELECT count(*) FROM sqlite_schema) = 0)"
                              " FROM pragma_application_id"));
  if (ours != 0) return {};
  return bad_input("is the database of another program", database.file().string(),
                   "move the file away; halfarc then begins a new logbook");
}

// Read through a connection of its own, since the one that changes the tables cannot copy at the same time.
Result<void> copy_beside(const Database& database, std::int64_t taken) {
  HALFARC_TRY(AtomicFile copy, AtomicFile::create(database.file().string() + "." + std::to_string(taken)));
  HALFARC_TRY(Database reader, Database::open(database.file(), Access::read));
  HALFARC_CHECK(reader.execute("VACUUM INTO ?", copy.temporary_path().string()));
  return copy.commit();
}

}  // namespace

std::int64_t logbook_version() { return static_cast<std::int64_t>(steps_of_halfarc().size()); }

Result<void> migrate(Database& database, std::span<const std::string> steps) {
  const auto known = static_cast<std::int64_t>(steps.size());
  HALFARC_TRY(const std::int64_t seen, steps_taken(database));
  if (seen == known) return {};
  HALFARC_TRY(Transaction together, Transaction::begin(database));
  HALFARC_TRY(const std::int64_t taken, steps_taken(database));  // another process may have been quicker
  if (taken > known || taken < 0) return newer(database, taken, steps.size());
  if (taken == known) return {};
  if (taken > 0) HALFARC_CHECK(copy_beside(database, taken));
  for (const std::string& step : steps.subspan(static_cast<std::size_t>(taken)))
    HALFARC_CHECK(database.run_script(step));
  HALFARC_CHECK(database.run_script("PRAGMA application_id = " + std::to_string(kApplication) +
                                    "; PRAGMA user_version = " + std::to_string(known)));
  return together.commit();
}

Result<Database> open_logbook(const fs::path& file, Access access) {
  HALFARC_TRY(Database database, Database::open(file, access));
  HALFARC_CHECK(check_owner(database));
  const auto& steps = steps_of_halfarc();
  if (access == Access::write) {
    HALFARC_CHECK(database.use_write_ahead_log());
    HALFARC_CHECK(migrate(database, steps));
    return database;
  }
  HALFARC_TRY(const std::int64_t taken, steps_taken(database));
  if (taken > static_cast<std::int64_t>(steps.size())) return newer(database, taken, steps.size());
  if (taken < static_cast<std::int64_t>(steps.size()))
    return bad_input("is of an older halfarc", file.string(), "write a note, and it is brought up to date");
  return database;
}

}  // namespace halfarc
