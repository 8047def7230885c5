#include "halfarc/air/dispersion.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "halfarc/air/refractivity.h"

namespace halfarc {
namespace {

// The two tangents of the refraction formula and their change with altitude, for one place in the sky.
class LiftLaw {
 public:
  LiftLaw(const Weather& weather, Angle apparent_altitude) : b_(4.4474e-6 * weather.temperature.kelvin()) {
    const Angle altitude = std::clamp(apparent_altitude, Angle::deg(5.0), Angle::deg(90.0));
    tangent_ = cos(altitude) / sin(altitude);
    const double secant_2 = 1.0 + tangent_ * tangent_;
    tangent_slope_ = -secant_2;
    cube_slope_ = -3.0 * tangent_ * tangent_ * secant_2;
  }

  Angle lift(double refractivity) const { return combine(refractivity, tangent_, tangent_ * tangent_ * tangent_); }
  Angle per_degree(double refractivity) const {
    return combine(refractivity, tangent_slope_, cube_slope_) * Angle::kRadPerDeg;
  }

 private:
  Angle combine(double refractivity, double first, double third) const {
    return Angle::rad(refractivity * ((1.0 - b_) * first - (b_ - 0.5 * refractivity) * third));
  }

  double b_;
  double tangent_;
  double tangent_slope_;
  double cube_slope_;
};

constexpr Length kPartStep = Length::nm(1.0);
constexpr int kParts =
    static_cast<int>(SpectralCurve::kStep / kPartStep) * (static_cast<int>(SpectralCurve::kSteps) - 1);

}  // namespace

Angle lift(Length wavelength, const Weather& weather, Angle apparent_altitude) {
  return LiftLaw(weather, apparent_altitude).lift(refractivity(wavelength, weather));
}

Angle dispersion(Length wavelength, Length reference, const Weather& weather, Angle apparent_altitude) {
  return lift(wavelength, weather, apparent_altitude) - lift(reference, weather, apparent_altitude);
}

Angle dispersion_per_degree(Length wavelength, Length reference, const Weather& weather, Angle apparent_altitude) {
  const LiftLaw law(weather, apparent_altitude);
  return law.per_degree(refractivity(wavelength, weather)) - law.per_degree(refractivity(reference, weather));
}

DispersedBand disperse(const SpectralCurve& weight, const Weather& weather, Angle apparent_altitude, Length reference) {
  const AirIndex index(weather);
  const LiftLaw law(weather, apparent_altitude);
  const double at_reference = index.refractivity(reference);

  DispersedBand band;
  double light = 0.0;
  for (int i = 0; i <= kParts; ++i) {
    const Length wavelength = SpectralCurve::kFirst + kPartStep * static_cast<double>(i);
    const double share = weight.at(wavelength) * (i == 0 || i == kParts ? 0.5 : 1.0);
    if (!(share > 0.0)) continue;
    const double n = index.refractivity(wavelength);
    band.parts.push_back({law.lift(n) - law.lift(at_reference), share});
    band.centroid_per_degree += (law.per_degree(n) - law.per_degree(at_reference)) * share;
    light += share;
  }
  if (band.parts.empty()) return band;

  band.centroid_per_degree /= light;
  for (DispersedBand::Part& part : band.parts) {
    part.share /= light;
    band.centroid += part.share * part.lift;
  }
  double variance = 0.0;
  for (const DispersedBand::Part& part : band.parts) {
    const double off = (part.lift - band.centroid).rad();
    variance += part.share * off * off;
  }
  band.rms_width = Angle::rad(std::sqrt(variance));
  return band;
}

std::complex<double> vertical_transfer(const DispersedBand& band, SpatialFrequency frequency) {
  if (band.parts.empty()) return 1.0;
  std::complex<double> sum = 0.0;
  for (const DispersedBand::Part& part : band.parts) {
    sum += std::polar(part.share, -2.0 * std::numbers::pi * frequency.per_rad() * (part.lift - band.centroid).rad());
  }
  return sum;
}

double vertical_mtf(const DispersedBand& band, SpatialFrequency frequency) {
  return std::abs(vertical_transfer(band, frequency));
}

}  // namespace halfarc
