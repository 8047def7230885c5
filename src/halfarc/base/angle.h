// Angle: a plane angle, on the sky or on the bench. Stored in radians; never wraps by itself.
#pragma once

#include <cmath>
#include <numbers>

#include "halfarc/base/quantity.h"

namespace halfarc {

class Angle : public Quantity<Angle> {
 public:
  static constexpr double kRadPerDeg = std::numbers::pi / 180.0;
  static constexpr double kRadPerArcsec = kRadPerDeg / 3600.0;

  static constexpr Angle rad(double v) { return of(v); }
  static constexpr Angle deg(double v) { return of(v * kRadPerDeg); }
  static constexpr Angle arcmin(double v) { return of(v * 60.0 * kRadPerArcsec); }
  static constexpr Angle arcsec(double v) { return of(v * kRadPerArcsec); }
  static constexpr Angle hours(double v) { return of(v * 15.0 * kRadPerDeg); }  // of right ascension

  constexpr double rad() const { return value(); }
  constexpr double deg() const { return value() / kRadPerDeg; }
  constexpr double arcmin() const { return value() / (60.0 * kRadPerArcsec); }
  constexpr double arcsec() const { return value() / kRadPerArcsec; }
  constexpr double hours() const { return value() / (15.0 * kRadPerDeg); }
};

inline double sin(Angle a) { return std::sin(a.rad()); }
inline double cos(Angle a) { return std::cos(a.rad()); }
inline double tan(Angle a) { return std::tan(a.rad()); }

// The same direction in [0, 360) degrees.
inline Angle wrap_positive(Angle a) {
  constexpr double turn = 2.0 * std::numbers::pi;
  const double r = std::fmod(a.rad(), turn);
  const double positive = r < 0.0 ? r + turn : r;
  return Angle::rad(positive < turn ? positive : 0.0);
}

// The same direction in [-180, 180) degrees. Exact for angles already there, however small.
inline Angle wrap_signed(Angle a) {
  constexpr double turn = 2.0 * std::numbers::pi;
  const double r = std::remainder(a.rad(), turn);
  return Angle::rad(r < std::numbers::pi ? r : -std::numbers::pi);
}

namespace literals {
constexpr Angle operator""_deg(long double v) { return Angle::deg(static_cast<double>(v)); }
constexpr Angle operator""_arcsec(long double v) { return Angle::arcsec(static_cast<double>(v)); }
}  // namespace literals

}  // namespace halfarc
