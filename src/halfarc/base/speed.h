// Speed: of the wind, of a body's spin at its limb. Stored in metres per second.
#pragma once

#include "halfarc/base/quantity.h"

namespace halfarc {

class Speed : public Quantity<Speed> {
 public:
  static constexpr Speed m_per_s(double v) { return of(v); }
  static constexpr Speed km_per_h(double v) { return of(v / 3.6); }

  constexpr double m_per_s() const { return value(); }
  constexpr double km_per_h() const { return value() * 3.6; }
};

}  // namespace halfarc
