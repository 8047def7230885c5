// OwnerLog: the logbook of the home folder, opened for the owner's place and telescope as they are now.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

#include "halfarc/base/angle.h"
#include "halfarc/logbook/database.h"

namespace halfarc {

// logbook.db in that folder.
std::filesystem::path logbook_of_home(const std::filesystem::path& home);

struct OwnerLog {
  Database database;
  std::optional<std::int64_t> site;  // nothing without a site.toml
  std::optional<std::int64_t> rig;   // nothing without a rig.toml that can be used
  Angle longitude;                   // of the site; nil without one

  // The date of the night that an instant belongs to, and the night itself, added when it is not there.
  std::string date_of(Utc at) const;
  Result<std::int64_t> night_of(Utc at);
};

// Opens it to write. The folder is made when it is not there. Errors: no home folder is known; a site.toml that cannot
// be used; those of open_logbook.
Result<OwnerLog> open_owner_log(const std::filesystem::path& home);

// The same to read only: works in a folder that may not be written. Errors: no logbook yet; those of open_logbook.
Result<OwnerLog> read_owner_log(const std::filesystem::path& home);

}  // namespace halfarc
