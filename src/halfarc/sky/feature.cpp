#include "halfarc/sky/feature.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "halfarc/sky/csv_line.h"
#include "halfarc/sky/disc.h"

namespace halfarc::sky {
namespace {

constexpr const char* kExample =
    "write lines like Red Spot,Jupiter,62.5,II,0.05,2026-11-20: name, body, longitude, system, drift a day, date";

// How far the central meridian has gone beyond the feature, in (-180, 180].
Angle beyond(const Feature& feature, const Site& site, Utc at) {
  const Observer observer = observe_from(site, at);
  const Disc disc = disc_of(feature.body, place_of(feature.body, observer), observer);
  const Angle meridian = disc.sub_observer.in(feature.system).value_or(Angle());
  return wrap_signed(meridian - longitude_at(feature, at));
}

// How fast the central meridian runs over the feature. It grows with time on all bodies that turn (rotation.h); the
// planets' own ways change the spin by less than a third of a degree a day but for Mercury and Venus.
AngularRate rate(const Feature& feature, const Site& site, Utc at) {
  constexpr Duration step = Duration::minutes(10.0);
  const Angle moved = wrap_signed(beyond(feature, site, at + step) - beyond(feature, site, at));
  return AngularRate::rad_per_s(moved.rad() / step.s());
}

std::optional<LongitudeSystem> system_named(std::string_view s) {
  if (s == "I" || s == "i" || s == "1") return LongitudeSystem::one;
  if (s == "II" || s == "ii" || s == "2") return LongitudeSystem::two;
  if (s == "III" || s == "iii" || s == "3") return LongitudeSystem::three;
  return std::nullopt;
}

Result<LongitudeSystem> system_of(Body body, std::string_view cell, const std::string& where) {
  const auto systems = systems_of(body);
  const auto system = system_named(cell);
  if (system && std::find(systems.begin(), systems.end(), *system) != systems.end()) return *system;
  std::string list;
  for (const LongitudeSystem s : systems) list += (list.empty() ? "" : ", ") + std::string(name_of(s));
  return bad_input("\"" + std::string(cell) + "\" is no system of longitude of " + std::string(name_of(body)), where,
                   "write one of: " + list);
}

Result<Feature> feature_of(std::string_view line, const std::string& where) {
  const auto cells = cells_of(line);
  if (cells.size() != 6) {
    return bad_input("a feature line has 6 values, this one has " + std::to_string(cells.size()), where, kExample);
  }
  Feature feature;
  feature.name = std::string(cells[0]);
  if (feature.name.empty()) return bad_input("the feature has no name", where, kExample);
  const auto body = parse_body(cells[1]);
  if (!body || *body == Body::sun || *body == Body::moon) {
    return bad_input("\"" + std::string(cells[1]) + "\" is no planet", where, "write one of Mercury to Neptune");
  }
  feature.body = *body;
  const auto longitude = number_in(cells[2]);
  if (!longitude || !(*longitude >= 0.0 && *longitude <= 360.0)) {
    return bad_input("\"" + std::string(cells[2]) + "\" is no longitude from 0 to 360 degrees", where, kExample);
  }
  feature.longitude = Angle::deg(*longitude);
  HALFARC_TRY(feature.system, system_of(feature.body, cells[3], where));
  const auto drift = cells[4].empty() ? std::optional<double>(0.0) : number_in(cells[4]);
  if (!drift || std::abs(*drift) > 30.0) {
    return bad_input("\"" + std::string(cells[4]) + "\" is no drift from -30 to 30 degrees a day", where, kExample);
  }
  feature.drift = AngularRate::deg_per_day(*drift);
  const auto measured = Utc::parse(cells[5]);
  if (!measured) return bad_input("\"" + std::string(cells[5]) + "\" is no date", where, "write it like 2026-11-20");
  feature.measured = *measured;
  return feature;
}

}  // namespace

Angle longitude_at(const Feature& feature, Utc at) {
  return wrap_positive(feature.longitude + feature.drift * (at - feature.measured));
}

std::vector<Utc> feature_transits(const Feature& feature, const Site& site, Utc from, Utc to) {
  std::vector<Utc> transits;
  const AngularRate turning = rate(feature, site, from);
  if (turning.rad_per_s() <= 0.0) return transits;
  const auto after = [turning](Angle angle) { return Duration::s(angle.rad() / turning.rad_per_s()); };
  // A guess from where the globe stands, put right by Newton's steps: each takes the error to a hundredth or less.
  for (Utc guess = from + after(wrap_positive(-beyond(feature, site, from))); guess <= to;
       guess = guess + after(Angle::deg(360.0))) {
    for (int i = 0; i < 3; ++i) guess = guess - after(beyond(feature, site, guess));
    if (guess >= from && guess <= to) transits.push_back(guess);
  }
  return transits;
}

Result<std::vector<Feature>> parse_features(std::string_view text, const std::string& where) {
  std::vector<Feature> features;
  bool first = true;
  for (const auto& [line, number] : lines_of(text)) {
    const bool names = first && line.starts_with("name");
    first = false;
    if (names) continue;
    HALFARC_TRY(Feature feature, feature_of(line, where + ", line " + std::to_string(number)));
    features.push_back(std::move(feature));
  }
  return features;
}

}  // namespace halfarc::sky
