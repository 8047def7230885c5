#include "halfarc/app/learned.h"

#include <fmt/format.h>

#include <cmath>

#include "halfarc/app/owner_log.h"
#include "halfarc/logbook/readings.h"

namespace halfarc {
namespace {

constexpr std::size_t kTellScatter = 3;      // nights
constexpr double kUnlikelyScale = 0.15;      // off the rig's: rather a wrong target or an old train
constexpr double kUsualSeeingScatter = 0.5;  // arcseconds, from night to night (common practice)

// The logbook of a home: nothing where there is none that can be read.
std::optional<OwnerLog> log_of(const std::filesystem::path& home) {
  std::error_code ignored;
  if (home.empty() || !std::filesystem::exists(logbook_of_home(home), ignored)) return std::nullopt;
  auto log = read_owner_log(home);
  return log ? std::optional(std::move(*log)) : std::nullopt;
}

}  // namespace

Measured<double> next_of(const Trend& trend, double usual_scatter) {
  const double scatter = trend.nights < kTellScatter ? std::max(usual_scatter, trend.scatter) : trend.scatter;
  return {trend.mean.value, std::hypot(trend.mean.sigma, scatter)};
}

ScaleOfRig scale_of_rig(const Rig& rig, const TrainSolution& train, const std::filesystem::path& home) {
  const PlateScale own = plate_scale(rig, train);
  const auto log = log_of(home);
  if (!log || !log->rig) return {own, ScaleSource::rig};
  const auto readings = readings_named(log->database, "scale", {log->rig, std::nullopt});
  const auto trend = readings ? trend_of("scale", "arcsec/px", *readings) : std::nullopt;
  if (!trend) return {own, ScaleSource::rig};
  const double told = trend->mean.value;
  if (!(std::abs(told / own.arcsec_per_px() - 1.0) < kUnlikelyScale)) return {own, ScaleSource::rig};
  return {PlateScale::arcsec_per_px(told), ScaleSource::logbook};
}

std::string ExpectedSeeing::words() const {
  return fmt::format("Seeing of {:.1f} +- {:.1f}\" as the logbook has it, of {} night{}{}.", fwhm.value.arcsec(),
                     fwhm.sigma.arcsec(), nights, nights == 1 ? "" : "s", of_the_hour ? " at that hour" : "");
}

std::optional<ExpectedSeeing> expected_seeing(const std::filesystem::path& home, Utc at) {
  const auto log = log_of(home);
  if (!log) return std::nullopt;
  const auto readings = readings_named(log->database, "seeing_zenith", {});
  const auto all = readings ? trend_of("seeing_zenith", "arcsec", *readings) : std::nullopt;
  if (!all) return std::nullopt;
  const double hour = solar_hour(at, log->longitude);
  const std::vector<BinnedTrend> bins = by_hour("seeing_zenith", "arcsec", *readings);
  const Trend* trend = &*all;
  bool of_the_hour = false;
  for (const BinnedTrend& bin : bins) {
    if (!(hour >= bin.from && hour < bin.to) || bin.trend.nights < kTellScatter) continue;
    trend = &bin.trend;
    of_the_hour = true;
  }
  const Measured<double> next = next_of(*trend, kUsualSeeingScatter);
  return ExpectedSeeing{{Angle::arcsec(next.value), Angle::arcsec(next.sigma)}, trend->nights, of_the_hour};
}

}  // namespace halfarc
