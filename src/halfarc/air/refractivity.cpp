#include "halfarc/air/refractivity.h"

#include <algorithm>

#include "halfarc/air/humidity.h"

namespace halfarc {
namespace {

constexpr double kGasConstant = 8.314510;  // as in the paper; like the molar masses it cancels

double per_um2(Length wavelength) { return 1.0 / (wavelength.um() * wavelength.um()); }

// Of dry air at 15 degC, 101325 Pa, 450 ppm; of pure vapour at 20 degC, 1333 Pa ([Ciddor1996] eqs. 1 and 3).
double standard_dry(double s) { return 1e-8 * (5792105.0 / (238.0185 - s) + 167917.0 / (57.362 - s)); }
double standard_vapour(double s) { return 1.022e-8 * (295.235 + s * (2.6422 + s * (-0.032380 + s * 0.004028))); }

// How far moist air is from an ideal gas ([Ciddor1996] eq. 12), by pressure and share of vapour among the molecules.
double compressibility(double pa, Temperature temperature, double vapour_share) {
  const double t = temperature.celsius();
  const double x = vapour_share;
  const double p_over_t = pa / temperature.kelvin();
  return 1.0 -
         p_over_t * (1.58123e-6 + t * (-2.9331e-8 + t * 1.1043e-10) + (5.707e-6 - 2.051e-8 * t) * x +
                     (1.9898e-4 - 2.376e-6 * t) * x * x) +
         p_over_t * p_over_t * (1.83e-11 - 0.765e-8 * x * x);
}

// Moles in a cubic metre.
double mol_per_m3(double pa, Temperature temperature, double vapour_share) {
  return pa / (compressibility(pa, temperature, vapour_share) * kGasConstant * temperature.kelvin());
}

// The share of vapour among the molecules, with the enhancement factor of vapour that is not alone.
double vapour_share(const Weather& weather) {
  const double pa = weather.pressure.pa();
  const double t = weather.temperature.celsius();
  if (!(pa > 0.0)) return 0.0;
  return std::min(1.0, (1.00062 + 3.14e-8 * pa + 5.6e-7 * t * t) * vapour_pressure(weather).pa() / pa);
}

}  // namespace

AirIndex::AirIndex(const Weather& weather, double co2_ppm) {
  const double x = vapour_share(weather);
  const double mol = mol_per_m3(weather.pressure.pa(), weather.temperature, x);
  const double standard_mol = mol_per_m3(101325.0, Temperature::celsius(15.0), 0.0);
  const double standard_vapour_mol = mol_per_m3(1333.0, Temperature::celsius(20.0), 1.0);
  dry_ = (1.0 - x) * mol / standard_mol * (1.0 + 0.534e-6 * (co2_ppm - 450.0));
  vapour_ = x * mol / standard_vapour_mol;
}

double AirIndex::refractivity(Length wavelength) const {
  const double s = per_um2(wavelength);
  return dry_ * standard_dry(s) + vapour_ * standard_vapour(s);
}

double refractivity(Length wavelength, const Weather& weather, double co2_ppm) {
  return AirIndex(weather, co2_ppm).refractivity(wavelength);
}

double edlen_refractivity(Length wavelength, const Weather& weather) {
  const double s = per_um2(wavelength);
  const double t = weather.temperature.celsius();
  const double p = weather.pressure.pa();
  const double standard = 1e-8 * (8342.54 + 2406147.0 / (130.0 - s) + 15998.0 / (38.9 - s));
  const double density = p / 96095.43 * (1.0 + 1e-8 * (0.601 - 0.00972 * t) * p) / (1.0 + 0.003661 * t);
  const double vapour =
      1e-10 * (292.75 / weather.temperature.kelvin()) * (3.7345 - 0.0401 * s) * vapour_pressure(weather).pa();
  return standard * density - vapour;
}

}  // namespace halfarc
