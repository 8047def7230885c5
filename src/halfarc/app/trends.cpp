#include "halfarc/app/trends.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

#include "halfarc/app/cooling_file.h"
#include "halfarc/app/home.h"

namespace halfarc {
namespace {

Measured<double> weighted(std::span<const Measured<double>> values, double scatter) {
  double weights = 0.0, sum = 0.0;
  for (const auto& v : values) {
    const double weight = 1.0 / (v.sigma * v.sigma + scatter * scatter);
    weights += weight;
    sum += weight * v.value;
  }
  return {sum / weights, 1.0 / std::sqrt(weights)};
}

// What exceeds the errors in the values' spread about their mean: method of moments.
double scatter_beyond_errors(std::span<const Measured<double>> values) {
  const double mean = weighted(values, 0.0).value;
  double weights = 0.0, squares = 0.0, excess = 0.0;
  for (const auto& v : values) {
    const double weight = 1.0 / (v.sigma * v.sigma);
    weights += weight;
    squares += weight * weight;
    excess += weight * (v.value - mean) * (v.value - mean);
  }
  const double freedom = static_cast<double>(values.size()) - 1.0;
  const double reach = weights - squares / weights;
  return reach > 0.0 ? std::sqrt(std::max(0.0, (excess - freedom) / reach)) : 0.0;
}

// The same place on the circle, as near to `about` as it can be.
double unwrapped(double value, double about, double period) {
  return period > 0.0 ? value - period * std::round((value - about) / period) : value;
}

double hour_of(const DatedReading& reading) { return solar_hour(reading.utc, Angle::deg(reading.longitude_deg)); }

template <class Place>
std::vector<BinnedTrend> binned(const std::string& name, const std::string& unit,
                                std::span<const DatedReading> readings, std::span<const double> edges, Place place) {
  std::vector<BinnedTrend> bins;
  for (std::size_t i = 0; i + 1 < edges.size(); ++i) {
    std::vector<DatedReading> inside;
    std::copy_if(readings.begin(), readings.end(), std::back_inserter(inside), [&](const DatedReading& r) {
      const std::optional<double> at = place(r);
      return at && *at >= edges[i] && *at < edges[i + 1];
    });
    if (auto trend = trend_of(name, unit, inside)) bins.push_back({edges[i], edges[i + 1], std::move(*trend)});
  }
  return bins;
}

Result<std::optional<Trend>> cooling_trend(const std::filesystem::path& home) {
  HALFARC_TRY(const auto text, text_of_home_file(home, "cooling.csv"));
  if (!text) return std::optional<Trend>();
  HALFARC_TRY(const auto evenings, time_constants(*text, (home / "cooling.csv").string()));
  if (evenings.empty()) return std::optional<Trend>();
  std::vector<Measured<double>> minutes;
  for (const auto& e : evenings) minutes.push_back({e.value.minutes(), e.sigma.minutes()});
  const Pooled pooled = pool(minutes);
  return std::optional(Trend{"time_constant", "min", pooled.mean, pooled.scatter, minutes.size(), minutes.size()});
}

}  // namespace

Pooled pool(std::span<const Measured<double>> values) {
  const double scatter = values.size() > 1 ? scatter_beyond_errors(values) : 0.0;
  return {weighted(values, scatter), scatter};
}

std::optional<Trend> trend_of(std::string name, std::string unit, std::span<const DatedReading> readings,
                              double period) {
  std::vector<std::pair<std::int64_t, std::vector<Measured<double>>>> nights;
  std::size_t count = 0;
  std::optional<double> about;
  for (const DatedReading& r : readings) {
    if (!(r.sigma > 0.0)) continue;
    if (!about) about = r.value;
    const auto same = [&](const auto& night) { return night.first == r.night; };
    auto at = std::find_if(nights.rbegin(), nights.rend(), same);
    if (at == nights.rend()) {
      nights.push_back({r.night, {}});
      at = nights.rbegin();
    }
    at->second.push_back({unwrapped(r.value, *about, period), r.sigma});
    ++count;
  }
  if (count == 0) return std::nullopt;
  std::vector<Measured<double>> means;
  for (const auto& night : nights) means.push_back(pool(night.second).mean);
  Pooled pooled = pool(means);
  if (period > 0.0) pooled.mean.value -= period * std::floor(pooled.mean.value / period);
  return Trend{std::move(name), std::move(unit), pooled.mean, pooled.scatter, count, nights.size()};
}

std::vector<BinnedTrend> by_hour(std::string name, std::string unit, std::span<const DatedReading> readings) {
  std::array<double, 25> edges{};
  for (std::size_t i = 0; i < edges.size(); ++i) edges[i] = 12.0 + static_cast<double>(i);
  return binned(name, unit, readings, edges, [](const DatedReading& r) { return std::optional(hour_of(r)); });
}

std::vector<BinnedTrend> by_wind(std::string name, std::string unit, std::span<const DatedReading> readings) {
  constexpr std::array edges{0.0, 2.0, 4.0, 6.0, 9.0, 60.0};
  return binned(name, unit, readings, edges, [](const DatedReading& r) { return r.wind_m_per_s; });
}

double solar_hour(Utc utc, Angle longitude) {
  const double hours = utc.unix_s() / 3600.0 + longitude.deg() / 15.0;
  const double of_day = hours - 24.0 * std::floor(hours / 24.0);
  return of_day < 12.0 ? of_day + 24.0 : of_day;
}

Result<Trends> trends_of(const Database& database, std::optional<std::int64_t> rig, const std::filesystem::path& home) {
  Trends trends;
  HALFARC_TRY(const auto scale, readings_named(database, "scale", {rig, std::nullopt}));
  HALFARC_TRY(const auto angle, readings_named(database, "camera_angle", {rig, std::nullopt}));
  HALFARC_TRY(const auto knob, readings_named(database, "waves_per_turn", {std::nullopt, rig}));
  HALFARC_TRY(const auto seeing, readings_named(database, "seeing_zenith", {}));
  trends.scale = trend_of("scale", "arcsec/px", scale);
  trends.camera_angle = trend_of("camera_angle", "deg", angle, 360.0);
  trends.knob = trend_of("waves_per_turn", "waves/turn", knob);
  trends.seeing = trend_of("seeing_zenith", "arcsec", seeing);
  trends.seeing_by_hour = by_hour("seeing_zenith", "arcsec", seeing);
  trends.seeing_by_wind = by_wind("seeing_zenith", "arcsec", seeing);
  HALFARC_TRY(trends.time_constant, cooling_trend(home));
  return trends;
}

}  // namespace halfarc
