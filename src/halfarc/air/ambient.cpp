#include "halfarc/air/ambient.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <utility>

namespace halfarc {

TemperatureCurve TemperatureCurve::steady(Temperature temperature) {
  return TemperatureCurve({{Duration::s(0.0), temperature}});
}

TemperatureCurve TemperatureCurve::changing(Temperature start, TemperatureDifference per_hour) {
  const Duration night = Duration::hours(24.0);
  return TemperatureCurve({{Duration::s(0.0), start}, {night, start + per_hour * night.hours()}});
}

Result<TemperatureCurve> TemperatureCurve::through(std::vector<TemperatureAt> points) {
  if (points.empty()) return bad_input("no temperatures are given", {}, "give at least one time and temperature");
  for (std::size_t i = 0; i < points.size(); ++i) {
    const std::string where = "temperature " + std::to_string(i + 1);
    if (!std::isfinite(points[i].temperature.kelvin()) || !(points[i].temperature.kelvin() > 0.0)) {
      return bad_input("not a temperature", where, "write degrees Celsius, for example 7.5");
    }
    if (i > 0 && !(points[i].time > points[i - 1].time)) {
      return bad_input("its time is not after the one before", where, "put the readings in order of time");
    }
  }
  return TemperatureCurve(std::move(points));
}

Temperature TemperatureCurve::at(Duration time) const {
  const auto after = std::find_if(points_.begin(), points_.end(), [&](const auto& p) { return p.time > time; });
  if (after == points_.begin()) return points_.front().temperature;
  if (after == points_.end()) return points_.back().temperature;
  const auto before = after - 1;
  const double share = (time - before->time) / (after->time - before->time);
  return before->temperature + share * (after->temperature - before->temperature);
}

TemperatureDifference TemperatureCurve::per_hour(Duration from, Duration to) const {
  return (at(to) - at(from)) / (to - from).hours();
}

}  // namespace halfarc
