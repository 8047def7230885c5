#include "halfarc/optics/pupil.h"

#include <cmath>
#include <numbers>

namespace halfarc {
namespace {

using std::numbers::pi;

double sinc(double x) { return x == 0.0 ? 1.0 : std::sin(pi * x) / (pi * x); }

// 2 J1(v) / v, 1 at zero.
double jinc(double v) {
  if (std::abs(v) < 1e-4) return 1.0 - v * v / 8.0;
  return 2.0 * std::cyl_bessel_j(1.0, std::abs(v)) / std::abs(v);
}

double annular_amplitude(double obstruction, double v) {
  const double e2 = obstruction * obstruction;
  return (jinc(v) - e2 * jinc(obstruction * v)) / (1.0 - e2);
}

// v of the closed forms: pi D theta / lambda.
double reduced_angle(const Pupil& pupil, Length wavelength, Angle theta) {
  return pi * (pupil.diameter / wavelength) * theta.rad();
}

// Area common to two discs of radii a >= b with centres d apart.
double overlap(double a, double b, double d) {
  if (d >= a + b) return 0.0;
  if (d <= a - b) return pi * b * b;
  const double angle_a = std::acos((d * d + a * a - b * b) / (2.0 * d * a));
  const double angle_b = std::acos((d * d + b * b - a * a) / (2.0 * d * b));
  const double kite = (-d + a + b) * (d + a - b) * (d - a + b) * (d + a + b);
  return a * a * angle_a + b * b * angle_b - 0.5 * std::sqrt(kite > 0.0 ? kite : 0.0);
}

// The root of a decreasing function in [low, high] by bisection, to the last bit that matters.
template <class F>
double root_of_decreasing(F f, double low, double high) {
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (f(middle) > 0.0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace

SpatialFrequency cut_off(const Pupil& pupil, Length wavelength) {
  return SpatialFrequency::per_rad(pupil.diameter / wavelength);
}

double perfect_mtf(const Pupil& pupil, Length wavelength, SpatialFrequency frequency) {
  const double x = std::abs(frequency / cut_off(pupil, wavelength));
  if (!(x < 1.0)) return 0.0;
  // Areas for an outer radius of 1, so that the shift of the two pupils is 2 x.
  const double e = pupil.obstruction;
  const double shift = 2.0 * x;
  const double common = overlap(1.0, 1.0, shift) - 2.0 * overlap(1.0, e, shift) + overlap(e, e, shift);
  return common / (pi * (1.0 - e * e));
}

double pixel_mtf(Angle pixel, SpatialFrequency frequency_along_axis) {
  return sinc(pixel.rad() * frequency_along_axis.per_rad());
}

double point_amplitude(const Pupil& pupil, Length wavelength, Angle from_centre) {
  return annular_amplitude(pupil.obstruction, reduced_angle(pupil, wavelength, from_centre));
}

double point_intensity(const Pupil& pupil, Length wavelength, Angle from_centre) {
  const double a = point_amplitude(pupil, wavelength, from_centre);
  return a * a;
}

double encircled_energy(const Pupil& pupil, Length wavelength, Angle radius) {
  const double end = std::abs(reduced_angle(pupil, wavelength, radius));
  const double e = pupil.obstruction;
  // Simpson's rule on I(v) v (1 - e^2) / 2; the rings are about pi wide, so 64 panels a ring are plenty.
  const int panels = 2 * (static_cast<int>(end * 32.0 / pi) + 16);
  const double step = end / panels;
  double sum = 0.0;
  for (int i = 0; i <= panels; ++i) {
    const double v = step * i;
    const double a = annular_amplitude(e, v);
    const double weight = (i == 0 || i == panels) ? 1.0 : (i % 2 == 1 ? 4.0 : 2.0);
    sum += weight * a * a * v;
  }
  return sum * step / 3.0 * (1.0 - e * e) / 2.0;
}

Angle point_fwhm(const Pupil& pupil, Length wavelength) {
  const double half_level = std::numbers::sqrt2 / 2.0;
  const double v =
      root_of_decreasing([&](double x) { return annular_amplitude(pupil.obstruction, x) - half_level; }, 0.0, 2.4);
  return Angle::rad(2.0 * v / pi * (wavelength / pupil.diameter));
}

Angle first_dark_ring(const Pupil& pupil, Length wavelength) {
  const double v = root_of_decreasing([&](double x) { return annular_amplitude(pupil.obstruction, x); }, 0.0, 4.2);
  return Angle::rad(v / pi * (wavelength / pupil.diameter));
}

double defocus_strehl(const Pupil& pupil, double waves) {
  const double s = sinc(waves * (1.0 - pupil.obstruction * pupil.obstruction));
  return s * s;
}

double defocus_rms_waves(const Pupil& pupil, double waves) {
  return std::abs(waves) * (1.0 - pupil.obstruction * pupil.obstruction) / std::sqrt(12.0);
}

double strehl_of_rms(double rms_waves) {
  const double phase = 2.0 * pi * rms_waves;
  return std::exp(-phase * phase);
}

Length focus_shift(double waves, Length wavelength, double focal_ratio) {
  return wavelength * (8.0 * focal_ratio * focal_ratio * waves);
}

}  // namespace halfarc
