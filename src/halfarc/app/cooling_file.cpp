#include "halfarc/app/cooling_file.h"

#include <cmath>
#include <vector>

#include "halfarc/air/time_constant.h"
#include "halfarc/app/home.h"
#include "halfarc/app/when.h"
#include "halfarc/sky/csv_line.h"

namespace halfarc {
namespace {

constexpr const char* kExample = "write lines like 2026-11-25 18:20,14.5,7.8: time UTC, mirror degC, air degC";
constexpr Duration kNextEvening = Duration::hours(6.0);

Result<TubeReading> reading_of(std::string_view line, const std::string& where, Utc zero) {
  const auto cells = sky::cells_of(line);
  if (cells.size() != 3)
    return bad_input("a reading has 3 values, this one has " + std::to_string(cells.size()), where, kExample);
  const auto at = parse_when(cells[0], zero);
  if (!at) return bad_input(at.error().what, where, kExample);
  const auto mirror = sky::number_in(cells[1]), air = sky::number_in(cells[2]);
  if (!mirror || !air || std::abs(*mirror) > 60.0 || std::abs(*air) > 60.0)
    return bad_input("temperatures are numbers from -60 to 60", where, kExample);
  return TubeReading{*at - zero, Temperature::celsius(*mirror), Temperature::celsius(*air)};
}

Result<std::vector<std::vector<TubeReading>>> evenings_of(std::string_view text, const std::string& where) {
  std::vector<std::vector<TubeReading>> evenings;
  for (const sky::CsvLine& line : sky::lines_of(text)) {
    const std::string here = where + ", line " + std::to_string(line.number);
    HALFARC_TRY(const TubeReading reading, reading_of(line.text, here, Utc()));
    const bool first = evenings.empty();
    if (!first && reading.time <= evenings.back().back().time)
      return bad_input("is not later than the reading before it", here, "put the readings in order of time");
    if (first || reading.time - evenings.back().back().time > kNextEvening) evenings.emplace_back();
    evenings.back().push_back(reading);
  }
  return evenings;
}

}  // namespace

Result<std::vector<Measured<Duration>>> time_constants(std::string_view text, const std::string& where) {
  HALFARC_TRY(const auto evenings, evenings_of(text, where));
  std::vector<Measured<Duration>> told;
  for (const auto& evening : evenings) {
    if (const auto fitted = fit_time_constant(evening)) told.push_back(*fitted);
  }
  return told;
}

Result<Measured<Duration>> parse_cooling(std::string_view text, const std::string& where) {
  HALFARC_TRY(const auto evenings, evenings_of(text, where));
  double weights = 0.0, sum = 0.0;
  std::optional<Error> why_not;
  for (const auto& evening : evenings) {
    const auto fitted = fit_time_constant(evening);
    if (!fitted) {
      why_not = fitted.error();
      continue;
    }
    const double weight = 1.0 / std::pow(fitted->sigma.s(), 2);
    weights += weight;
    sum += weight * fitted->value.s();
  }
  if (!(weights > 0.0)) {
    const std::string why = why_not ? why_not->what : "holds no readings";
    return bad_input("tells no time constant: " + why, where, kExample);
  }
  return Measured<Duration>{Duration::s(sum / weights), Duration::s(1.0 / std::sqrt(weights))};
}

Result<void> learn_cooling(const std::filesystem::path& home, Rig& rig) {
  HALFARC_TRY(const auto text, text_of_home_file(home, "cooling.csv"));
  if (!text || rig.time_constant) return {};
  HALFARC_TRY(const Measured<Duration> learnt, parse_cooling(*text, (home / "cooling.csv").string()));
  rig.time_constant = learnt.value;
  return {};
}

}  // namespace halfarc
