#include "halfarc/app/owner_log.h"

#include "halfarc/app/home.h"
#include "halfarc/app/rig_file.h"
#include "halfarc/logbook/nights.h"
#include "halfarc/logbook/schema.h"
#include "halfarc/logbook/sites.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

// Whoever needs the rig says what is wrong with rig.toml; a night is noted all the same.
std::optional<RigRow> rig_row(const fs::path& home) {
  const auto rig = rig_of_home(home);
  if (!rig || !*rig) return std::nullopt;
  const auto train = solve(**rig);
  if (!train) return std::nullopt;
  return RigRow{(*rig)->name, (*rig)->telescope.aperture.mm(), train->focal_length.mm(),
                plate_scale(**rig, *train).arcsec_per_px()};
}

Result<void> make_folder(const fs::path& home) {
  if (home.empty())
    return bad_input("there is no folder to keep the logbook in", "", "set HALFARC_HOME to a folder of yours");
  std::error_code problem;
  fs::create_directories(home, problem);
  if (problem)
    return failed("cannot be made: " + problem.message(), home.string(), "set HALFARC_HOME to another folder");
  return {};
}

}  // namespace

fs::path logbook_of_home(const fs::path& home) { return home / "logbook.db"; }

std::string OwnerLog::date_of(Utc at) const { return night_date(at, longitude); }

Result<std::int64_t> OwnerLog::night_of(Utc at) { return put_night(database, date_of(at), site); }

Result<OwnerLog> open_owner_log(const fs::path& home) {
  HALFARC_CHECK(make_folder(home));
  HALFARC_TRY(const auto place, site_of_home(home));
  HALFARC_TRY(Database database, open_logbook(logbook_of_home(home), Access::write));
  OwnerLog log{std::move(database), std::nullopt, std::nullopt, Angle()};
  if (place) {
    const sky::Site& site = place->site;
    HALFARC_TRY(log.site,
                put_site(log.database, {place->name, site.latitude.deg(), site.longitude.deg(), site.height.m()}));
    log.longitude = site.longitude;
  }
  if (const auto rig = rig_row(home)) {
    HALFARC_TRY(log.rig, put_rig(log.database, *rig));
  }
  return log;
}

Result<OwnerLog> read_owner_log(const fs::path& home) {
  HALFARC_TRY(Database database, open_logbook(logbook_of_home(home), Access::read));
  OwnerLog log{std::move(database), std::nullopt, std::nullopt, Angle()};
  if (const auto place = site_of_home(home); place && *place) log.longitude = (*place)->site.longitude;
  if (const auto rig = rig_row(home)) {
    HALFARC_TRY(log.rig, find_rig(log.database, *rig));
  }
  return log;
}

}  // namespace halfarc
