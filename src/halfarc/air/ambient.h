// Ambient: the air outside over the hours of a night, as a forecast or the owner's thermometer gives it.
#pragma once

#include <vector>

#include "halfarc/base/duration.h"
#include "halfarc/base/pressure.h"
#include "halfarc/base/result.h"
#include "halfarc/base/temperature.h"

namespace halfarc {

struct TemperatureAt {
  Duration time;  // from any common zero
  Temperature temperature;
};

// The temperature against time: straight between its points, level before the first and after the last.
class TemperatureCurve {
 public:
  static TemperatureCurve steady(Temperature temperature);

  // A straight course: `start` at time zero, changing by `per_hour` (negative: falling) for the length of a night, 24
  // h.
  static TemperatureCurve changing(Temperature start, TemperatureDifference per_hour);

  // Errors: no points, or times that do not increase.
  static Result<TemperatureCurve> through(std::vector<TemperatureAt> points);

  Temperature at(Duration time) const;

  // The mean change per hour between two times (to > from).
  TemperatureDifference per_hour(Duration from, Duration to) const;

 private:
  explicit TemperatureCurve(std::vector<TemperatureAt> points) : points_(std::move(points)) {}
  std::vector<TemperatureAt> points_;  // never empty
};

// All that the weather does to things that stand in it.
struct Outside {
  TemperatureCurve air = TemperatureCurve::steady(Temperature::celsius(10.0));
  Pressure vapour = Pressure::hpa(8.6);  // in the air, which a still night keeps while it cools: 70 % at 10 degC
  double cloud = 0.0;                    // share of the sky that low cloud covers
};

}  // namespace halfarc
