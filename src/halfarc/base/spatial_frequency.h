// SpatialFrequency: how fine a detail on the sky is, in cycles per angle. Its inverse is the period of the detail.
#pragma once

#include "halfarc/base/angle.h"
#include "halfarc/base/quantity.h"

namespace halfarc {

class SpatialFrequency : public Quantity<SpatialFrequency> {
 public:
  static constexpr SpatialFrequency per_rad(double v) { return of(v); }
  static constexpr SpatialFrequency per_arcsec(double v) { return of(v / Angle::kRadPerArcsec); }
  static constexpr SpatialFrequency of_period(Angle period) { return of(1.0 / period.rad()); }

  constexpr double per_rad() const { return value(); }
  constexpr double per_arcsec() const { return value() * Angle::kRadPerArcsec; }
  constexpr Angle period() const { return Angle::rad(1.0 / value()); }
};

}  // namespace halfarc
