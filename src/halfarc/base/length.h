// Length: a distance on the bench, a wavelength, or a height. Stored in metres.
#pragma once

#include "halfarc/base/quantity.h"

namespace halfarc {

class Length : public Quantity<Length> {
 public:
  static constexpr Length m(double v) { return of(v); }
  static constexpr Length km(double v) { return of(v * 1e3); }
  static constexpr Length cm(double v) { return of(v * 1e-2); }
  static constexpr Length mm(double v) { return of(v * 1e-3); }
  static constexpr Length um(double v) { return of(v * 1e-6); }
  static constexpr Length nm(double v) { return of(v * 1e-9); }

  constexpr double m() const { return value(); }
  constexpr double km() const { return value() * 1e-3; }
  constexpr double cm() const { return value() * 1e2; }
  constexpr double mm() const { return value() * 1e3; }
  constexpr double um() const { return value() * 1e6; }
  constexpr double nm() const { return value() * 1e9; }
};

namespace literals {
constexpr Length operator""_m(long double v) { return Length::m(static_cast<double>(v)); }
constexpr Length operator""_mm(long double v) { return Length::mm(static_cast<double>(v)); }
constexpr Length operator""_um(long double v) { return Length::um(static_cast<double>(v)); }
constexpr Length operator""_nm(long double v) { return Length::nm(static_cast<double>(v)); }
}  // namespace literals

}  // namespace halfarc
