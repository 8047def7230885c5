// Pressure of the air or of its water vapour. Stored in pascal.
#pragma once

#include "halfarc/base/quantity.h"

namespace halfarc {

class Pressure : public Quantity<Pressure> {
 public:
  static constexpr Pressure pa(double v) { return of(v); }
  static constexpr Pressure hpa(double v) { return of(v * 100.0); }
  static constexpr Pressure mmhg(double v) { return of(v * (101325.0 / 760.0)); }

  constexpr double pa() const { return value(); }
  constexpr double hpa() const { return value() / 100.0; }
  constexpr double mmhg() const { return value() / (101325.0 / 760.0); }
};

}  // namespace halfarc
