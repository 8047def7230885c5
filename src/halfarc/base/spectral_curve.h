// SpectralCurve: a quantity against the colour of light: a filter's transmission, a sensor's response, a body's
// spectrum, or the product of such, which says how much each colour counts in a picture.
//
// Every curve is tabulated at the same wavelengths, 300 to 1100 nm in steps of 5 nm, so that curves multiply value by
// value. Between the steps it is straight; outside it is nil.
#pragma once

#include <array>
#include <cstddef>
#include <functional>
#include <initializer_list>

#include "halfarc/base/length.h"

namespace halfarc {

struct SpectralPoint {
  double nm = 0.0;
  double value = 0.0;
};

class SpectralCurve {
 public:
  static constexpr std::size_t kSteps = 161;
  static constexpr Length kFirst = Length::nm(300.0);
  static constexpr Length kStep = Length::nm(5.0);
  static constexpr Length wavelength(std::size_t step) { return kFirst + kStep * static_cast<double>(step); }

  SpectralCurve() = default;  // nil everywhere

  static SpectralCurve flat(double value);

  // 1 from `from` to `to` and nil outside; a step that the edge cuts counts with its share, so that the area is kept.
  static SpectralCurve box(Length from, Length to);

  // Straight between the points, which are in order of wavelength, and level beyond the first and the last.
  static SpectralCurve through(std::initializer_list<SpectralPoint> points);

  static SpectralCurve of(const std::function<double(Length)>& value);

  double at(Length wavelength) const;

  double& operator[](std::size_t step) { return values_[step]; }
  double operator[](std::size_t step) const { return values_[step]; }

  friend SpectralCurve operator*(const SpectralCurve& a, const SpectralCurve& b);
  friend SpectralCurve operator*(double k, SpectralCurve curve);

 private:
  std::array<double, kSteps> values_{};
};

// The area under the curve, in units of its value times nanometres. Valid: any. Accuracy: the trapezium rule on 5 nm.
double area_nm(const SpectralCurve& curve);

// The mean and the standard deviation of the wavelength, weighted with the curve.
// Valid: a curve of positive area; else the middle of the range and nil. Accuracy: as `area_nm`.
Length mean_wavelength(const SpectralCurve& curve);
Length spread_of_wavelength(const SpectralCurve& curve);

}  // namespace halfarc
