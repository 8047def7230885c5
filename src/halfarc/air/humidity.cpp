#include "halfarc/air/humidity.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace halfarc {
namespace {

// data: [IAPWS1997] table 34
constexpr std::array<double, 10> kIapws = {1167.05214528,   -724213.167032, -17.0738469401, 12020.8247025,
                                           -3232555.03223,  14.9151086135,  -4823.26573616, 405113.405421,
                                           -0.238555575678, 650.175348448};

double over_water_pa(double kelvin) {
  const auto& n = kIapws;
  const double theta = kelvin + n[8] / (kelvin - n[9]);
  const double a = theta * theta + n[0] * theta + n[1];
  const double b = n[2] * theta * theta + n[3] * theta + n[4];
  const double c = n[5] * theta * theta + n[6] * theta + n[7];
  return 1e6 * std::pow(2.0 * c / (-b + std::sqrt(b * b - 4.0 * a * c)), 4);
}

double over_ice_pa(double kelvin) {
  const double theta = kelvin / 273.16;
  return 611.657 * std::exp(-13.928169 * (1.0 - std::pow(theta, -1.5)) + 34.7078238 * (1.0 - std::pow(theta, -1.25)));
}

struct Magnus {
  double pa;
  double factor;
  double offset;  // degC
};
constexpr Magnus kWater{610.94, 17.625, 243.04};
constexpr Magnus kIce{611.21, 22.587, 273.86};

Temperature inverse(const Magnus& m, Pressure vapour) {
  const double x = std::log(std::max(vapour.pa(), 1.0) / m.pa);
  return Temperature::celsius(m.offset * x / (m.factor - x));
}

}  // namespace

Pressure saturation_pressure(Temperature t, Over over) {
  return Pressure::pa(over == Over::water ? over_water_pa(t.kelvin()) : over_ice_pa(t.kelvin()));
}

Pressure saturation_pressure(Temperature t) {
  return saturation_pressure(t, t.celsius() < 0.0 ? Over::ice : Over::water);
}

Pressure magnus_pressure(Temperature t, Over over) {
  const Magnus& m = over == Over::water ? kWater : kIce;
  return Pressure::pa(m.pa * std::exp(m.factor * t.celsius() / (m.offset + t.celsius())));
}

Pressure vapour_pressure(const Weather& weather) {
  return weather.relative_humidity * saturation_pressure(weather.temperature, Over::water);
}

Temperature dew_point(Pressure vapour) { return inverse(kWater, vapour); }

Temperature frost_point(Pressure vapour) { return inverse(kIce, vapour); }

Temperature deposit_point(Pressure vapour) {
  const Temperature dew = dew_point(vapour);
  return dew.celsius() < 0.0 ? std::min(frost_point(vapour), Temperature::celsius(0.0)) : dew;
}

Result<double> humidity_from_wet_bulb(Temperature dry, Temperature wet, Pressure air) {
  if (wet > dry) {
    return bad_input("the wet thermometer reads warmer than the dry one", {}, "check which is which");
  }
  const bool frozen = wet.celsius() < 0.0;
  const double per_kelvin = frozen ? 5.75e-4 : 6.53e-4 * (1.0 + 9.44e-4 * wet.celsius());
  const Pressure vapour =
      magnus_pressure(wet, frozen ? Over::ice : Over::water) - per_kelvin * (dry - wet).kelvin() * air;
  if (vapour.pa() <= 0.0) {
    return bad_input("the wet thermometer reads colder than any air could make it", {}, "read both again");
  }
  return vapour / magnus_pressure(dry, Over::water);
}

}  // namespace halfarc
