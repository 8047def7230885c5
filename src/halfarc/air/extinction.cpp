#include "halfarc/air/extinction.h"

#include <cmath>

namespace halfarc {
namespace {

constexpr double kMagnitudesPerDepth = 1.0857362047581295;  // 2.5 / ln 10

// data: [Leckner1978] absorption of ozone by wavelength in nm, per atm-cm (from memory)
const SpectralCurve& ozone_absorption() {
  static const SpectralCurve curve = SpectralCurve::through(
      {{300, 10.0},  {305, 4.8},   {310, 2.7},   {315, 1.35},  {320, 0.8},   {325, 0.38},  {330, 0.16},  {335, 0.075},
       {340, 0.04},  {345, 0.019}, {350, 0.007}, {355, 0.0},   {445, 0.0},   {450, 0.003}, {460, 0.006}, {470, 0.009},
       {480, 0.014}, {490, 0.021}, {500, 0.030}, {510, 0.040}, {520, 0.048}, {530, 0.063}, {540, 0.075}, {550, 0.085},
       {560, 0.103}, {570, 0.120}, {580, 0.120}, {590, 0.115}, {600, 0.125}, {610, 0.120}, {620, 0.105}, {630, 0.090},
       {640, 0.079}, {650, 0.067}, {660, 0.057}, {670, 0.048}, {680, 0.036}, {690, 0.028}, {700, 0.023}, {710, 0.018},
       {720, 0.014}, {730, 0.011}, {740, 0.010}, {750, 0.009}, {760, 0.007}, {770, 0.004}, {780, 0.0}});
  return curve;
}

// [HayesLatham1975]: proportional to (n - 1)^2 / lambda^4 of sea-level air.
double molecules_at_sea_level(double um) {
  const double s = 1.0 / (um * um);
  const double refraction = 0.23465 + 107.6 / (146.0 - s) + 0.93161 / (41.0 - s);
  return 0.0094977 * s * s * refraction * refraction;
}

}  // namespace

Extinction extinction(Length wavelength, Length height, const Haze& haze) {
  const double um = wavelength.um();
  return {molecules_at_sea_level(um) * std::exp(-height.km() / 7.996),
          haze.magnitudes * std::pow(um / 0.51, -haze.exponent) * std::exp(-height.km() / 1.5),
          kMagnitudesPerDepth * haze.ozone_atm_cm * ozone_absorption().at(wavelength)};
}

SpectralCurve air_transmission(double airmass, Length height, const Haze& haze) {
  return SpectralCurve::of(
      [&](Length wavelength) { return std::pow(10.0, -0.4 * airmass * extinction(wavelength, height, haze).total()); });
}

}  // namespace halfarc
