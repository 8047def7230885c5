// Temperature (a point on the scale) and TemperatureDifference (a span). Two temperatures cannot be added.
#pragma once

#include <compare>

#include "halfarc/base/quantity.h"

namespace halfarc {

class TemperatureDifference : public Quantity<TemperatureDifference> {
 public:
  static constexpr TemperatureDifference kelvin(double v) { return of(v); }
  constexpr double kelvin() const { return value(); }
};

class Temperature {
 public:
  static constexpr double kZeroCelsius = 273.15;

  constexpr Temperature() = default;
  static constexpr Temperature kelvin(double v) { return Temperature(v); }
  static constexpr Temperature celsius(double v) { return Temperature(v + kZeroCelsius); }

  constexpr double kelvin() const { return kelvin_; }
  constexpr double celsius() const { return kelvin_ - kZeroCelsius; }

  friend constexpr auto operator<=>(Temperature, Temperature) = default;
  friend constexpr TemperatureDifference operator-(Temperature a, Temperature b) {
    return TemperatureDifference::kelvin(a.kelvin_ - b.kelvin_);
  }
  friend constexpr Temperature operator+(Temperature a, TemperatureDifference d) {
    return Temperature(a.kelvin_ + d.kelvin());
  }
  friend constexpr Temperature operator-(Temperature a, TemperatureDifference d) {
    return Temperature(a.kelvin_ - d.kelvin());
  }

 private:
  explicit constexpr Temperature(double kelvin) : kelvin_(kelvin) {}
  double kelvin_ = kZeroCelsius;
};

}  // namespace halfarc
