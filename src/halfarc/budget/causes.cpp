#include "halfarc/budget/causes.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "halfarc/air/aligned_exposures.h"
#include "halfarc/air/turbulence.h"

namespace halfarc {
namespace {

constexpr double kPi = std::numbers::pi;

double sinc(double x) { return std::abs(x) < 1e-9 ? 1.0 : std::sin(kPi * x) / (kPi * x); }

// A blur of one uncertain input: `transfer_of(value)` makes the transfer function.
template <class T, class TransferOf>
Blur blur_of(Cause cause, const Measured<T>& input, const TransferOf& transfer_of) {
  Blur blur{cause, transfer_of(input.value), {}, false, false, {}};
  if (input.sigma != T{}) blur.moved.push_back(transfer_of(input.value + input.sigma));
  return blur;
}

TransferFunction gaussian(Angle rms_x, Angle rms_y) {
  return [=](const SkyFrequency& f) {
    const double turns = std::pow(f.x.per_rad() * rms_x.rad(), 2) + std::pow(f.y.per_rad() * rms_y.rad(), 2);
    return std::exp(-2.0 * kPi * kPi * turns);
  };
}

}  // namespace

Blur diffraction_blur(const Pupil& pupil, Length wavelength) {
  return {Cause::diffraction,
          [=](const SkyFrequency& f) { return perfect_mtf(pupil, wavelength, f.length()); },
          {},
          false,
          false,
          {}};
}

Blur pixel_blur(Angle pixel) {
  return {Cause::pixels,
          [=](const SkyFrequency& f) { return std::abs(pixel_mtf(pixel, f.x) * pixel_mtf(pixel, f.y)); },
          {},
          false,
          false,
          {}};
}

Blur air_blur(const Pupil& pupil, Length wavelength, Measured<Length> r0, double kept) {
  return blur_of(Cause::air, r0, [=](Length value) -> TransferFunction {
    const double d_over_r0 = pupil.diameter / r0_at({value}, wavelength);
    const SpatialFrequency cut = cut_off(pupil, wavelength);
    return [=](const SkyFrequency& f) { return aligned_mean_transfer(d_over_r0, f.length() / cut, kept); };
  });
}

Blur tube_heat_blur(Length wavelength, Measured<Angle> fwhm) {
  return blur_of(Cause::tube_heat, fwhm, [=](Angle value) -> TransferFunction {
    if (!(value > Angle())) return [](const SkyFrequency&) { return 1.0; };
    const Turbulence air{r0_of_seeing(value, wavelength), wavelength};
    return [=](const SkyFrequency& f) { return long_exposure_mtf(air, wavelength, f.length()); };
  });
}

Blur wavefront_blur(Cause cause, const Pupil& pupil, Length wavelength, const Wavefront& middle,
                    const Wavefront& sigma) {
  const auto transfer_of = [=](const Wavefront& errors) -> TransferFunction {
    return [=](const SkyFrequency& f) { return contrast_left(errors, pupil, wavelength, f); };
  };
  Blur blur{cause, transfer_of(middle), {}, false, false, {}};
  for (double Wavefront::*error : {&Wavefront::defocus, &Wavefront::spherical, &Wavefront::coma_x, &Wavefront::coma_y,
                                   &Wavefront::astigmatism, &Wavefront::astigmatism_45}) {
    if (sigma.*error == 0.0) continue;
    Wavefront moved = middle;
    moved.*error += std::copysign(sigma.*error, middle.*error);
    blur.moved.push_back(transfer_of(moved));
  }
  return blur;
}

Blur between_colours_blur(const std::array<Measured<Angle>, 3>& along_vertical, const std::array<double, 3>& weights) {
  const auto transfer_of = [=](const std::array<Angle, 3>& places) -> TransferFunction {
    return [=](const SkyFrequency& f) {
      std::complex<double> sum = 0.0;
      double total = 0.0;
      for (std::size_t c = 0; c < 3; ++c) {
        sum += std::polar(weights[c], 2.0 * kPi * f.y.per_rad() * places[c].rad());
        total += weights[c];
      }
      return std::abs(sum) / total;
    };
  };
  std::array<Angle, 3> middle;
  for (std::size_t c = 0; c < 3; ++c) middle[c] = along_vertical[c].value;
  Blur blur{Cause::dispersion_between, transfer_of(middle), {}, false, false, {}};
  for (std::size_t c = 0; c < 3; ++c) {
    if (along_vertical[c].sigma == Angle()) continue;
    std::array<Angle, 3> moved = middle;
    moved[c] += along_vertical[c].sigma;
    blur.moved.push_back(transfer_of(moved));
  }
  return blur;
}

Blur inside_colour_blur(Measured<Angle> rms) {
  return blur_of(Cause::dispersion_inside, rms, [](Angle value) { return gaussian(Angle(), value); });
}

Blur smear_blur(Cause cause, Measured<Angle> length, Angle direction) {
  const double along_x = cos(direction), along_y = sin(direction);
  return blur_of(cause, length, [=](Angle value) -> TransferFunction {
    return [=](const SkyFrequency& f) {
      return std::abs(sinc((f.x.per_rad() * along_x + f.y.per_rad() * along_y) * value.rad()));
    };
  });
}

Blur jitter_blur(Cause cause, Measured<Angle> rms_per_axis) {
  return blur_of(cause, rms_per_axis, [](Angle value) { return gaussian(value, value); });
}

Blur noise_blur(Measured<double> signal_to_noise) {
  return blur_of(Cause::noise, signal_to_noise, [](double value) -> TransferFunction {
    const double power = value * value;
    return [=](const SkyFrequency&) { return power / (1.0 + power); };
  });
}

double detail_signal_to_noise(double detail, double contrast, double electrons, double read_noise, double frames,
                              Angle pixel) {
  const double pixels = std::pow(0.5 * kHalfArc.period() / pixel, 2);
  const double noise = std::sqrt((electrons + read_noise * read_noise) * pixels * frames);
  return noise > 0.0 ? detail * contrast * electrons * pixels * frames / noise : 0.0;
}

}  // namespace halfarc
