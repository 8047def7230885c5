// Sites and rigs: where the telescope stood, and what it was made of, as far as readings depend on it.
//
// A rig is told by its name, its aperture and its scale. A comment changed in rig.toml makes no new rig; another
// amplifier does, since scale and focus are then learned anew. What a hand turns (screws, knob) belongs to the
// telescope: all rigs of one name and aperture.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "halfarc/logbook/database.h"

namespace halfarc {

struct SiteRow {
  std::string name;
  double latitude_deg = 0.0;
  double longitude_deg = 0.0;  // positive east
  double height_m = 0.0;
};

struct RigRow {
  std::string name;
  double aperture_mm = 0.0;
  double focal_length_mm = 0.0;  // behind the whole train
  double arcsec_per_px = 0.0;    // as rig.toml says it
};

// The number of the row with these values, which is added when it is not there. Errors: those of the file.
Result<std::int64_t> put_site(Database& database, const SiteRow& site);
Result<std::int64_t> put_rig(Database& database, const RigRow& rig);

// The number of that rig; nothing when the logbook does not know it. Errors: those of the file.
Result<std::optional<std::int64_t>> find_rig(const Database& database, const RigRow& rig);

}  // namespace halfarc
