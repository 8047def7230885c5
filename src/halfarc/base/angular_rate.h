// AngularRate: how fast an angle changes (a planet's spin, the turning of the field, a drift).
#pragma once

#include "halfarc/base/angle.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/quantity.h"

namespace halfarc {

class AngularRate : public Quantity<AngularRate> {
 public:
  static constexpr AngularRate rad_per_s(double v) { return of(v); }
  static constexpr AngularRate deg_per_hour(double v) { return of(v * Angle::kRadPerDeg / 3600.0); }
  static constexpr AngularRate deg_per_day(double v) { return of(v * Angle::kRadPerDeg / 86400.0); }
  static constexpr AngularRate arcsec_per_minute(double v) { return of(v * Angle::kRadPerArcsec / 60.0); }
  static constexpr AngularRate arcsec_per_s(double v) { return of(v * Angle::kRadPerArcsec); }

  constexpr double rad_per_s() const { return value(); }
  constexpr double deg_per_hour() const { return value() / Angle::kRadPerDeg * 3600.0; }
  constexpr double deg_per_day() const { return value() / Angle::kRadPerDeg * 86400.0; }
  constexpr double arcsec_per_minute() const { return value() / Angle::kRadPerArcsec * 60.0; }
  constexpr double arcsec_per_s() const { return value() / Angle::kRadPerArcsec; }

  friend constexpr Angle operator*(AngularRate r, Duration d) { return Angle::rad(r.value() * d.s()); }
  friend constexpr Angle operator*(Duration d, AngularRate r) { return r * d; }
};

}  // namespace halfarc
