// Duration: a span of time in SI seconds (exposures, drifts, cooling). Instants are in utc.h.
#pragma once

#include "halfarc/base/quantity.h"

namespace halfarc {

class Duration : public Quantity<Duration> {
 public:
  static constexpr Duration s(double v) { return of(v); }
  static constexpr Duration ms(double v) { return of(v * 1e-3); }
  static constexpr Duration minutes(double v) { return of(v * 60.0); }
  static constexpr Duration hours(double v) { return of(v * 3600.0); }
  static constexpr Duration days(double v) { return of(v * 86400.0); }

  constexpr double s() const { return value(); }
  constexpr double ms() const { return value() * 1e3; }
  constexpr double minutes() const { return value() / 60.0; }
  constexpr double hours() const { return value() / 3600.0; }
  constexpr double days() const { return value() / 86400.0; }
};

}  // namespace halfarc
