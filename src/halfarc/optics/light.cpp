#include "halfarc/optics/light.h"

#include <cmath>
#include <numbers>

#include "halfarc/optics/passband.h"

namespace halfarc {
namespace {

constexpr double kPlanckTimesLight = 1.986445857e-25;  // J m, exact by the SI of 2019

double photon_energy(Length wavelength) { return kPlanckTimesLight / wavelength.m(); }

// Energy a second, square metre and nanometre of V = 0: 1 erg / (s cm^2 A) is 1e-7 J x 1e4 / m^2 x 10 / nm.
constexpr double zero_energy() { return 3.631e-9 * 1e-7 * 1e4 * 10.0; }

}  // namespace

double zero_magnitude_photons() { return zero_energy() / photon_energy(Length::nm(545.0)); }

SpectralCurve photons_of_magnitude(double v, const SpectralCurve& shape) {
  const SpectralCurve energy = shape * SpectralCurve::of(photon_energy);
  const double seen = area_nm(energy * visual_band()) / area_nm(visual_band());
  return (zero_energy() * std::pow(10.0, -0.4 * v) / seen) * shape;
}

std::array<double, 3> electrons_per_s(const SpectralCurve& photons, const std::array<SpectralCurve, 3>& planes,
                                      const Pupil& pupil, PlateScale scale) {
  const double open = 1.0 - pupil.obstruction * pupil.obstruction;
  const double area = std::numbers::pi / 4.0 * pupil.diameter.m() * pupil.diameter.m() * open;
  const double patch = scale.arcsec_per_px() * scale.arcsec_per_px();
  std::array<double, 3> electrons{};
  for (std::size_t colour = 0; colour < 3; ++colour) {
    electrons[colour] = area_nm(photons * planes[colour]) * area * patch;
  }
  return electrons;
}

double signal_to_noise(const Exposed& exposed) {
  constexpr double kRounding = 0.289;  // rms of rounding to whole numbers, as the source has it: 1 / sqrt 12
  const double rounding = kRounding * exposed.e_per_adu;
  const double a_pixel =
      exposed.sky_e + exposed.dark_e + exposed.read_noise_e * exposed.read_noise_e + rounding * rounding;
  const double share = exposed.background_pixels > 0.0 ? exposed.pixels / exposed.background_pixels : 0.0;
  return exposed.signal_e / std::sqrt(exposed.signal_e + exposed.pixels * (1.0 + share) * a_pixel);
}

}  // namespace halfarc
