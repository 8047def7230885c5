#include "halfarc/air/dew.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "halfarc/air/heat_transfer.h"
#include "halfarc/air/humidity.h"

namespace halfarc {
namespace {

constexpr double kGlassEmissivity = 0.9;
constexpr double kInsideEmissivity = 0.8;  // glass 0.9 and a black-painted tube

// Watts a square metre that the plate gains at so many kelvin below the air.
double gain_w_per_m2(const FrontGlass& glass, Temperature air, Temperature sky, TemperatureDifference below) {
  const double k = below.kelvin();
  const double still = still_air_w_per_m2k(glass.aperture) * std::pow(std::abs(k), 0.25);
  const double outer = std::max(still, moving_air_w_per_m2k(glass.breeze, glass.aperture));
  const double view = sky_view(glass);
  const double to_surroundings = radiation_w_per_m2k(kGlassEmissivity * (1.0 - view) + kInsideEmissivity, air);
  const double area = 0.25 * std::numbers::pi * glass.aperture.m() * glass.aperture.m();
  return (outer + still + to_surroundings) * k + glass.heater_w / area -
         kGlassEmissivity * view * sky_loss_w_per_m2(air - below, sky);
}

Temperature glass_temperature(const FrontGlass& glass, const Outside& outside, Duration time) {
  const Temperature air = outside.air.at(time);
  return air - undercooling(glass, air, outside.vapour, outside.cloud);
}

}  // namespace

double sky_view(const FrontGlass& glass) {
  const double open = 0.5 * (1.0 + sin(glass.altitude));
  if (!(glass.shield.m() > 0.0)) return open;
  const double r = 0.5 * (glass.aperture / glass.shield);
  const double x = 2.0 + 1.0 / (r * r);
  const double mouth = 0.5 * (x - std::sqrt(x * x - 4.0));
  // A narrow mouth shows sky only, a wide one its share of the ground: between the two limits, in proportion.
  return mouth * std::lerp(1.0, open, mouth);
}

TemperatureDifference undercooling(const FrontGlass& glass, Temperature air, Pressure vapour, double cloud) {
  const Temperature sky = sky_temperature(air, vapour, cloud);
  // The gain grows with the distance below the air; its zero is found by halving.
  TemperatureDifference low = TemperatureDifference::kelvin(-200.0), high = TemperatureDifference::kelvin(60.0);
  for (int i = 0; i < 60; ++i) {
    const TemperatureDifference middle = 0.5 * (low + high);
    (gain_w_per_m2(glass, air, sky, middle) < 0.0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

DewMargin dew_margin(const FrontGlass& glass, const Weather& weather, double cloud) {
  const Pressure vapour = vapour_pressure(weather);
  const TemperatureDifference below = undercooling(glass, weather.temperature, vapour, cloud);
  const Temperature deposit = deposit_point(vapour);
  const Temperature plate = weather.temperature - below;

  Weather moister = weather;
  moister.relative_humidity += 0.03;
  const double by_humidity = (deposit_point(vapour_pressure(moister)) - deposit).kelvin();
  // A wrong thermometer moves the glass and, at a given relative humidity, the dew point alike.
  const double sigma = std::hypot(0.3 * below.kelvin(), by_humidity);
  return {plate, deposit, plate - deposit, TemperatureDifference::kelvin(sigma)};
}

std::optional<Duration> time_until_dew(const FrontGlass& glass, const Outside& outside, Duration from, Duration span) {
  const Temperature deposit = deposit_point(outside.vapour);
  const auto margin = [&](Duration time) { return (glass_temperature(glass, outside, time) - deposit).kelvin(); };
  constexpr Duration kStep = Duration::minutes(5.0);
  double before = margin(from);
  if (before <= 0.0) return Duration::s(0.0);
  for (Duration after = kStep; after - kStep < span; after += kStep) {
    const double now = margin(from + after);
    if (now <= 0.0) {
      const Duration at = after - kStep + kStep * (before / (before - now));
      if (at > span) return std::nullopt;
      return at;
    }
    before = now;
  }
  return std::nullopt;
}

}  // namespace halfarc
