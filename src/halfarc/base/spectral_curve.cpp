#include "halfarc/base/spectral_curve.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace halfarc {
namespace {

// The sum over all steps of value times weight(wavelength in nm), by the trapezium rule, times the step.
template <class Weight>
double moment(const SpectralCurve& curve, const Weight& weight) {
  double sum = 0.0;
  for (std::size_t i = 0; i < SpectralCurve::kSteps; ++i) {
    const bool end = i == 0 || i + 1 == SpectralCurve::kSteps;
    sum += (end ? 0.5 : 1.0) * curve[i] * weight(SpectralCurve::wavelength(i).nm());
  }
  return sum * SpectralCurve::kStep.nm();
}

}  // namespace

SpectralCurve SpectralCurve::flat(double value) {
  SpectralCurve curve;
  curve.values_.fill(value);
  return curve;
}

SpectralCurve SpectralCurve::box(Length from, Length to) {
  return of([&](Length wavelength) {
    const Length low = std::max(from, wavelength - kStep / 2.0);
    const Length high = std::min(to, wavelength + kStep / 2.0);
    return std::max(0.0, (high - low) / kStep);
  });
}

SpectralCurve SpectralCurve::through(std::initializer_list<SpectralPoint> points) {
  const std::vector<SpectralPoint> p(points);
  return of([&](Length wavelength) {
    if (p.empty()) return 0.0;
    const double nm = wavelength.nm();
    if (nm <= p.front().nm) return p.front().value;
    for (std::size_t i = 1; i < p.size(); ++i) {
      if (nm > p[i].nm) continue;
      return std::lerp(p[i - 1].value, p[i].value, (nm - p[i - 1].nm) / (p[i].nm - p[i - 1].nm));
    }
    return p.back().value;
  });
}

SpectralCurve SpectralCurve::of(const std::function<double(Length)>& value) {
  SpectralCurve curve;
  for (std::size_t i = 0; i < kSteps; ++i) curve.values_[i] = value(wavelength(i));
  return curve;
}

double SpectralCurve::at(Length wavelength) const {
  const double step = (wavelength - kFirst) / kStep;
  if (!(step >= 0.0) || step > static_cast<double>(kSteps - 1)) return 0.0;
  const auto below = std::min(static_cast<std::size_t>(step), kSteps - 2);
  return std::lerp(values_[below], values_[below + 1], step - static_cast<double>(below));
}

SpectralCurve operator*(const SpectralCurve& a, const SpectralCurve& b) {
  SpectralCurve product;
  for (std::size_t i = 0; i < SpectralCurve::kSteps; ++i) product.values_[i] = a.values_[i] * b.values_[i];
  return product;
}

SpectralCurve operator*(double k, SpectralCurve curve) {
  for (double& value : curve.values_) value *= k;
  return curve;
}

double area_nm(const SpectralCurve& curve) {
  return moment(curve, [](double) { return 1.0; });
}

Length mean_wavelength(const SpectralCurve& curve) {
  const double area = area_nm(curve);
  if (!(area > 0.0)) return SpectralCurve::wavelength(SpectralCurve::kSteps / 2);
  return Length::nm(moment(curve, [](double nm) { return nm; }) / area);
}

Length spread_of_wavelength(const SpectralCurve& curve) {
  const double area = area_nm(curve);
  if (!(area > 0.0)) return Length::nm(0.0);
  const double mean = mean_wavelength(curve).nm();
  const double variance = moment(curve, [&](double nm) { return (nm - mean) * (nm - mean); }) / area;
  return Length::nm(std::sqrt(std::max(0.0, variance)));
}

}  // namespace halfarc
