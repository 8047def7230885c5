#include "halfarc/air/heat_transfer.h"

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

// data: dry air at 10 degC and 1 atm ([Incropera2007] table A.4)
constexpr double kConductivity = 0.0250;  // W/mK
constexpr double kViscosity = 1.42e-5;    // m2/s, kinematic
constexpr double kPrandtl = 0.711;

double fourth(double x) { return x * x * x * x; }

}  // namespace

double still_air_w_per_m2k(Length height) { return 1.42 * std::pow(height.m(), -0.25); }

double moving_air_w_per_m2k(Speed speed, Length length) {
  const double reynolds = std::abs(speed.m_per_s()) * length.m() / kViscosity;
  return 0.664 * kConductivity / length.m() * std::sqrt(reynolds) * std::cbrt(kPrandtl);
}

double radiation_w_per_m2k(double emissivity, Temperature mean) {
  return 4.0 * emissivity * kStefanBoltzmann * std::pow(mean.kelvin(), 3);
}

double sky_emissivity(Temperature air, Pressure vapour, double cloud) {
  const double w = 46.5 * vapour.hpa() / air.kelvin();
  const double clear = 1.0 - (1.0 + w) * std::exp(-std::sqrt(1.2 + 3.0 * w));
  return std::lerp(clear, 1.0, std::clamp(cloud, 0.0, 1.0));
}

Temperature sky_temperature(Temperature air, Pressure vapour, double cloud) {
  return Temperature::kelvin(air.kelvin() * std::pow(sky_emissivity(air, vapour, cloud), 0.25));
}

double sky_loss_w_per_m2(Temperature surface, Temperature sky) {
  return kStefanBoltzmann * (fourth(surface.kelvin()) - fourth(sky.kelvin()));
}

}  // namespace halfarc
