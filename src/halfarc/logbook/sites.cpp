#include "halfarc/logbook/sites.h"

#include <cmath>

namespace halfarc {
namespace {

// To six decimals, so that the last bits of a solved train make no new rig.
double settled(double value) { return std::round(value * 1e6) / 1e6; }

}  // namespace

Result<std::int64_t> put_site(Database& database, const SiteRow& site) {
  HALFARC_CHECK(
      database.execute("INSERT OR IGNORE INTO sites (name, latitude_deg, longitude_deg, height_m) VALUES (?, ?, ?, ?)",
                       site.name, settled(site.latitude_deg), settled(site.longitude_deg), settled(site.height_m)));
  return database.number("SELECT id FROM sites WHERE (name, latitude_deg, longitude_deg, height_m) = (?, ?, ?, ?)",
                         site.name, settled(site.latitude_deg), settled(site.longitude_deg), settled(site.height_m));
}

Result<std::int64_t> put_rig(Database& database, const RigRow& rig) {
  HALFARC_CHECK(database.execute(
      "INSERT OR IGNORE INTO rigs (name, aperture_mm, focal_length_mm, arcsec_per_px) VALUES (?, ?, ?, ?)", rig.name,
      settled(rig.aperture_mm), settled(rig.focal_length_mm), settled(rig.arcsec_per_px)));
  HALFARC_TRY(const auto id, find_rig(database, rig));
  return id.value_or(std::int64_t{0});
}

Result<std::optional<std::int64_t>> find_rig(const Database& database, const RigRow& rig) {
  HALFARC_TRY(
      const std::int64_t id,
      database.number("SELECT id FROM rigs WHERE (name, aperture_mm, focal_length_mm, arcsec_per_px) = (?, ?, ?, ?)",
                      rig.name, settled(rig.aperture_mm), settled(rig.focal_length_mm), settled(rig.arcsec_per_px)));
  return id > 0 ? std::optional(id) : std::nullopt;
}

}  // namespace halfarc
