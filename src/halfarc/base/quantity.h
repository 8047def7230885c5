// Quantity: the arithmetic shared by every strong quantity of halfarc.
//
// A strong quantity is one physical dimension stored as one double in one hidden unit. It is made and read only
// through functions that name the unit (`Angle::arcsec(3.2)`, `a.arcsec()`), adds to its own kind, scales by bare
// numbers, and divides by its own kind into a bare number. Nothing converts to or from `double` silently, so a
// radian can never be taken for a degree. Products of different dimensions exist only where a function gives them
// a name (see pixel.h); that keeps compile time near zero. Decision: docs/decisions/0002-strong-quantities.md.
#pragma once

#include <cmath>
#include <compare>

namespace halfarc {

template <class Derived>
class Quantity {
 public:
  constexpr Quantity() = default;

  friend constexpr auto operator<=>(Quantity a, Quantity b) { return a.value_ <=> b.value_; }
  friend constexpr bool operator==(Quantity a, Quantity b) { return a.value_ == b.value_; }

  friend constexpr Derived operator+(Derived a, Derived b) { return of(a.value_ + b.value_); }
  friend constexpr Derived operator-(Derived a, Derived b) { return of(a.value_ - b.value_); }
  friend constexpr Derived operator-(Derived a) { return of(-a.value_); }
  friend constexpr Derived operator*(Derived a, double k) { return of(a.value_ * k); }
  friend constexpr Derived operator*(double k, Derived a) { return of(a.value_ * k); }
  friend constexpr Derived operator/(Derived a, double k) { return of(a.value_ / k); }
  friend constexpr double operator/(Derived a, Derived b) { return a.value_ / b.value_; }

  constexpr Derived& operator+=(Derived b) { return self(value_ += b.value_); }
  constexpr Derived& operator-=(Derived b) { return self(value_ -= b.value_); }
  constexpr Derived& operator*=(double k) { return self(value_ *= k); }
  constexpr Derived& operator/=(double k) { return self(value_ /= k); }

  friend Derived abs(Derived a) { return of(std::abs(a.value_)); }
  friend bool is_finite(Derived a) { return std::isfinite(a.value_); }

 protected:
  static constexpr Derived of(double value) {
    Derived d;
    d.value_ = value;
    return d;
  }
  constexpr double value() const { return value_; }

 private:
  constexpr Derived& self(double) { return static_cast<Derived&>(*this); }
  double value_ = 0.0;
};

}  // namespace halfarc
