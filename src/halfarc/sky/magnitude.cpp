#include "halfarc/sky/magnitude.h"

#include <erfa.h>

#include <array>
#include <cmath>
#include <numbers>
#include <span>

namespace halfarc::sky {
namespace {

// data: [Mallama2018], polynomials in the phase angle in degrees, constant first.
constexpr std::array kMercury = {-0.613, 6.3280e-2, -1.6336e-3, 3.3644e-5, -3.4265e-7, 1.6893e-9, -3.0334e-12};
constexpr std::array kVenus = {-4.384, -1.044e-3, 3.687e-4, -2.814e-6, 8.938e-9};
constexpr std::array kVenusThin = {236.05828, -2.81914, 8.39034e-3};  // from 163.7 deg on
constexpr std::array kEarth = {-3.99, -1.060e-3, 2.054e-4};
constexpr std::array kMars = {-1.601, 2.267e-2, -1.302e-4};
constexpr std::array kMarsFar = {-0.367, -0.02573, 3.445e-4};  // beyond 50 deg
constexpr std::array kJupiter = {-9.395, -3.7e-4, 6.16e-4};
constexpr std::array kJupiterFar = {1.0, -1.507, -0.363, -0.062, 2.809, -1.876};  // of phase / 180 deg, beyond 12 deg
constexpr std::array kSaturnGlobe = {-8.95, -3.7e-4, 6.16e-4};
constexpr std::array kSaturnGlobeFar = {-8.94, 2.446e-4, 2.672e-4, -1.506e-6, 4.767e-9};  // beyond 6.5 deg
// data: [Mallama2018], Mars: by longitude facing us and by season, every 10 deg from -20 deg to 370 deg.
constexpr std::array kMarsRotation = {0.024,  0.034,  0.036,  0.045,  0.038,  0.023,  0.015,  0.011,  0.000,  -0.012,
                                      -0.018, -0.036, -0.044, -0.059, -0.060, -0.055, -0.043, -0.041, -0.041, -0.036,
                                      -0.036, -0.018, -0.038, -0.011, 0.002,  0.004,  0.018,  0.019,  0.035,  0.050,
                                      0.035,  0.027,  0.037,  0.048,  0.025,  0.022,  0.024,  0.034,  0.036,  0.045};
constexpr std::array kMarsSeason = {-0.030, -0.017, -0.029, -0.017, -0.014, -0.006, -0.018, -0.020, -0.014, -0.030,
                                    -0.008, -0.040, -0.024, -0.037, -0.036, -0.032, 0.010,  0.010,  -0.001, 0.044,
                                    0.025,  -0.004, -0.016, -0.008, 0.029,  -0.054, -0.033, 0.055,  0.017,  0.052,
                                    0.006,  0.087,  0.006,  0.064,  0.030,  0.019,  -0.030, -0.017, -0.029, -0.017};

double polynomial(double x, std::span<const double> c) {
  double sum = 0.0;
  for (std::size_t i = c.size(); i-- > 0;) sum = sum * x + c[i];
  return sum;
}

// Stirling's interpolation with fourth differences in a table by tens of degrees, as the authors do.
double stirling(Angle at, std::span<const double> table) {
  const double tens = wrap_positive(at).deg() / 10.0;
  const auto k = static_cast<std::size_t>(tens);
  const double p = tens - static_cast<double>(k);
  const auto y = [&](std::size_t i) { return table[k + i]; };  // y(2) is the entry below
  const double d1a = y(2) - y(1), d1b = y(3) - y(2);
  const double d2 = y(3) - 2.0 * y(2) + y(1);
  const double d3a = y(3) - 3.0 * y(2) + 3.0 * y(1) - y(0), d3b = y(4) - 3.0 * y(3) + 3.0 * y(2) - y(1);
  const double d4 = y(4) - 4.0 * y(3) + 6.0 * y(2) - 4.0 * y(1) + y(0);
  return y(2) + p * 0.5 * (d1a + d1b) + p * p * 0.5 * d2 + p * (p * p - 1.0) / 12.0 * (d3a + d3b) +
         p * p * (p * p - 1.0) / 24.0 * d4;
}

Angle mean_direction(Angle a, Angle b) { return a + 0.5 * wrap_signed(b - a); }

double mars(const Illumination& i, double phase) {
  const double base = phase <= 50.0 ? polynomial(phase, kMars) : polynomial(phase, kMarsFar);
  const Angle facing = mean_direction(i.sub_observer_longitude, i.sub_solar_longitude);
  return base + stirling(facing, kMarsRotation) + stirling(i.heliocentric_longitude - Angle::deg(85.0), kMarsSeason);
}

double jupiter(double phase) {
  if (phase <= 12.0) return polynomial(phase, kJupiter);
  return -9.428 - 2.5 * std::log10(polynomial(phase / 180.0, kJupiterFar));
}

std::optional<double> saturn(const Illumination& i, double phase) {
  // The same side of the rings must be lit and seen; else they are dark.
  const double product = i.sub_solar_latitude.deg() * i.sub_observer_latitude.deg();
  const Angle tilt = Angle::deg(product > 0.0 ? std::sqrt(product) : 0.0);
  if (i.rings) {
    if (phase > 6.6 || tilt.deg() > 27.5) return std::nullopt;  // the Earth's own limits, with a margin
    return -8.914 - 1.825 * sin(tilt) + 0.026 * phase - 0.378 * sin(tilt) * std::exp(-2.25 * phase);
  }
  return phase <= 6.5 ? polynomial(phase, kSaturnGlobe) : polynomial(phase, kSaturnGlobeFar);
}

double uranus(const Illumination& i, double phase) {
  const double latitude = 0.5 * (abs(i.sub_solar_latitude) + abs(i.sub_observer_latitude)).deg();
  const double far = phase > 3.1 ? 6.587e-3 * phase + 1.045e-4 * phase * phase : 0.0;
  return -7.110 - 8.4e-4 * latitude + far;
}

std::optional<double> neptune(const Illumination& i, double phase) {
  const double brightening = i.year < 1980.0 ? -6.89 : i.year > 2000.0 ? -7.00 : -6.89 - 0.0054 * (i.year - 1980.0);
  if (phase <= 1.95) return brightening;  // the Earth's own limit, with a margin
  if (i.year <= 2000.0) return std::nullopt;
  return brightening + 7.944e-3 * phase + 9.617e-5 * phase * phase;
}

// [Allen1976], from memory.
double moon(double phase) { return 0.23 + 0.026 * phase + 4.0e-9 * std::pow(phase, 4.0); }

std::optional<double> at_one_au(Body body, const Illumination& i) {
  const double phase = i.phase_angle.deg();
  switch (body) {
    case Body::sun:
      return std::nullopt;
    case Body::moon:
      return moon(phase);
    case Body::mercury:
      return polynomial(phase, kMercury);
    case Body::venus:
      return phase < 163.7 ? polynomial(phase, kVenus) : polynomial(phase, kVenusThin);
    case Body::mars:
      return mars(i, phase);
    case Body::jupiter:
      return jupiter(phase);
    case Body::saturn:
      return saturn(i, phase);
    case Body::uranus:
      return uranus(i, phase);
    case Body::neptune:
      return neptune(i, phase);
  }
  return std::nullopt;
}

}  // namespace

std::optional<double> visual_magnitude(Body body, const Illumination& i) {
  if (body == Body::sun) return -26.74 + 5.0 * std::log10(i.distance_au);  // from memory
  const auto base = at_one_au(body, i);
  if (!base) return std::nullopt;
  return *base + 5.0 * std::log10(i.sun_distance_au * i.distance_au);
}

double earth_magnitude(double sun_distance_au, double distance_au, Angle phase_angle) {
  return polynomial(phase_angle.deg(), kEarth) + 5.0 * std::log10(sun_distance_au * distance_au);
}

Illumination illumination_of(Body body, const Place& place, const Disc& disc, const Observer& observer) {
  Illumination i;
  i.sun_distance_au = in_astronomical_units(place.sun_distance);
  i.distance_au = in_astronomical_units(place.distance);
  i.phase_angle = disc.phase_angle;
  const bool graphic = body == Body::uranus;
  i.sub_solar_latitude = graphic ? disc.sub_solar.planetographic_latitude : disc.sub_solar.planetocentric_latitude;
  i.sub_observer_latitude =
      graphic ? disc.sub_observer.planetographic_latitude : disc.sub_observer.planetocentric_latitude;
  i.sub_solar_longitude = disc.sub_solar.in(LongitudeSystem::one).value_or(Angle());
  i.sub_observer_longitude = disc.sub_observer.in(LongitudeSystem::one).value_or(Angle());
  double m[3][3];
  eraEcm06(Tt::kJ2000JulianDate, observer.tt.days(), m);
  const Vec3 v = place.from_sun;
  i.heliocentric_longitude =
      longitude_of({m[0][0] * v.x + m[0][1] * v.y + m[0][2] * v.z, m[1][0] * v.x + m[1][1] * v.y + m[1][2] * v.z, 0.0});
  i.year = decimal_year(observer.utc);
  return i;
}

std::optional<double> surface_magnitude(Body body, Illumination illumination, const Disc& disc) {
  illumination.rings = false;
  const auto magnitude = visual_magnitude(body, illumination);
  const double area = std::numbers::pi / 4.0 * disc.equatorial_diameter.arcsec() * disc.polar_diameter.arcsec() *
                      disc.illuminated_fraction;
  if (!magnitude || area <= 0.0) return std::nullopt;
  return *magnitude + 2.5 * std::log10(area);
}

}  // namespace halfarc::sky
