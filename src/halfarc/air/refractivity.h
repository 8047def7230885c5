// Refractivity: n - 1 of air against wavelength, weather and carbon dioxide. Everything that air does to the direction
// of light begins here.
//
// Ciddor's equation is the standard, and is used throughout; the modified Edlen equation is an independent second
// opinion, fitted to other measurements.
#pragma once

#include "halfarc/base/length.h"
#include "halfarc/base/weather.h"

namespace halfarc {

// Parts of CO2 in a million parts of air, outdoors, in the middle of the 2020s (from memory); it grows by 2.5 a year.
// A change by 100 changes n - 1 by 5e-5 of itself.
inline constexpr double kOutdoorCo2Ppm = 425.0;

// Densities of dry air and of vapour from a compressible mixture, times their refractivities at standard conditions.
// Valid: vacuum wavelength 300 to 1700 nm; -40 to 100 degC; 100 to 1400 hPa (below: the same law, n - 1 goes to nil).
// Accuracy: 2e-8 in n (2 standard errors) in the visible; 1e-9 against the published tables. Source: [Ciddor1996].
double refractivity(Length wavelength, const Weather& weather, double co2_ppm = kOutdoorCo2Ppm);

// The same at many wavelengths in one weather: the densities are worked out once.
class AirIndex {
 public:
  explicit AirIndex(const Weather& weather, double co2_ppm = kOutdoorCo2Ppm);
  double refractivity(Length wavelength) const;

 private:
  double dry_;     // density over that of standard air, times the factor of CO2
  double vapour_;  // density over that of standard vapour
};

// The modified Edlen equation, for 450 ppm of CO2.
// Valid: 300 to 1700 nm; 0 to 50 degC; 600 to 1200 hPa. Accuracy: 3e-8 in n, worse in frost. Source: [BirchDowns1994],
// with the vapour term of the NIST engineering metrology toolbox.
double edlen_refractivity(Length wavelength, const Weather& weather);

}  // namespace halfarc
