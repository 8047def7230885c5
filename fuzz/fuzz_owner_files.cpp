// Fuzzes what reads the files that an owner writes by hand: rig, site and shot (TOML), horizon, cooling, pointing and
// features (CSV). Any text may be put into any of them, so that every reader gets every input.
#include <cstdint>
#include <string_view>

#include "halfarc/app/cooling_file.h"
#include "halfarc/app/home.h"
#include "halfarc/app/pointing_file.h"
#include "halfarc/app/rig_file.h"
#include "halfarc/simulate/shot_file.h"
#include "halfarc/sky/feature.h"
#include "halfarc/sky/horizon.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(bytes), size);
  if (const auto rig = halfarc::parse_rig_file(text, "rig.toml")) (void)halfarc::solve(*rig);
  (void)halfarc::parse_site_file(text, "site.toml");
  (void)halfarc::parse_shot(text, "shot.toml");
  (void)halfarc::sky::Horizon::parse(text, "horizon.csv");
  (void)halfarc::parse_cooling(text, "cooling.csv");
  (void)halfarc::parse_pointing(text, "pointing.csv");
  (void)halfarc::sky::parse_features(text, "features.csv");
  return 0;
}
