#include "halfarc/app/learned.h"

#include <fmt/format.h>

#include <cmath>

#include "halfarc/app/owner_log.h"

namespace halfarc {
namespace {

constexpr std::size_t kTellScatter = 3;      // nights
constexpr double kUnlikelyScale = 0.15;      // off the rig's: rather a wrong target or an old train
constexpr double kUsualSeeingScatter = 0.5;  // arcseconds, from night to night (common practice)

// The seasons of a home, without its cooling: nothing where there is no logbook that can be read.
struct Book {
  OwnerLog log;
  Trends trends;
};
std::optional<Book> book_of(const std::filesystem::path& home) {
  std::error_code ignored;
  if (home.empty() || !std::filesystem::exists(logbook_of_home(home), ignored)) return std::nullopt;
  auto log = read_owner_log(home);
  if (!log) return std::nullopt;
  auto trends = trends_of_log(log->database, log->rig);
  if (!trends) return std::nullopt;
  return Book{std::move(*log), std::move(*trends)};
}

}  // namespace

Measured<double> next_of(const Trend& trend, double usual_scatter) {
  const double scatter = trend.nights < kTellScatter ? std::max(usual_scatter, trend.scatter) : trend.scatter;
  return {trend.mean.value, std::hypot(trend.mean.sigma, scatter)};
}

ScaleOfRig scale_of_rig(const Rig& rig, const TrainSolution& train, const std::filesystem::path& home) {
  const PlateScale own = plate_scale(rig, train);
  const auto book = book_of(home);
  if (!book || !book->log.rig || !book->trends.scale) return {own, ScaleSource::rig};
  const double told = book->trends.scale->mean.value;
  if (!(std::abs(told / own.arcsec_per_px() - 1.0) < kUnlikelyScale)) return {own, ScaleSource::rig};
  return {PlateScale::arcsec_per_px(told), ScaleSource::logbook};
}

std::string ExpectedSeeing::words() const {
  return fmt::format("Seeing of {:.1f} +- {:.1f}\" as the logbook has it, of {} night{}{}.", fwhm.value.arcsec(),
                     fwhm.sigma.arcsec(), nights, nights == 1 ? "" : "s", of_the_hour ? " at that hour" : "");
}

std::optional<ExpectedSeeing> expected_seeing(const std::filesystem::path& home, Utc at) {
  const auto book = book_of(home);
  if (!book || !book->trends.seeing) return std::nullopt;
  const double hour = solar_hour(at, book->log.longitude);
  const Trend* trend = &*book->trends.seeing;
  bool of_the_hour = false;
  for (const BinnedTrend& bin : book->trends.seeing_by_hour) {
    if (!(hour >= bin.from && hour < bin.to) || bin.trend.nights < kTellScatter) continue;
    trend = &bin.trend;
    of_the_hour = true;
  }
  const Measured<double> next = next_of(*trend, kUsualSeeingScatter);
  return ExpectedSeeing{{Angle::arcsec(next.value), Angle::arcsec(next.sigma)}, trend->nights, of_the_hour};
}

}  // namespace halfarc
