// Dispersion: air lifts blue light more than red, so a planet low down is drawn out into a short spectrum, blue towards
// the zenith. It shifts the colour planes of a picture against each other, which software can undo, and it smears each
// plane within itself, which only a prism pair before the sensor can.
//
// "Lift" is how much higher a body seems at one colour than it is. All altitudes here are as seen, not airless.
#pragma once

#include <complex>
#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/base/length.h"
#include "halfarc/base/spatial_frequency.h"
#include "halfarc/base/spectral_curve.h"
#include "halfarc/base/weather.h"

namespace halfarc {

// The colour against which lifts are stated where no other is named.
inline constexpr Length kLiftReference = Length::nm(550.0);

// Refraction at one wavelength: (n-1)(1-b) tan z - (n-1)(b-(n-1)/2) tan^3 z, with b = 4.4474e-6 T/K the height of the
// air over the Earth's radius. The first part is flat air; b bends it round the Earth.
// Valid: 300 to 1700 nm; 10 to 90 deg (5 % low at 5 deg; below that the value of 5 deg).
// Accuracy: 0.06" above 15 deg, 0.7" at 10 deg, of which differences between colours have their share: 2e-3.
// Source: [Stone1996] and ERFA refco for the form, [Ciddor1996] for n.
Angle lift(Length wavelength, const Weather& weather, Angle apparent_altitude);

// lift(wavelength) - lift(reference): positive when `wavelength` stands higher; and its change for one degree of climb.
// Valid: as lift. Accuracy: 0.4 % (of which the weather's own: 1 % for 3 K or 10 hPa).
Angle dispersion(Length wavelength, Length reference, const Weather& weather, Angle apparent_altitude);
Angle dispersion_per_degree(Length wavelength, Length reference, const Weather& weather, Angle apparent_altitude);

// One colour plane as the air draws it out along the vertical.
struct DispersedBand {
  struct Part {
    Angle lift;          // above that of the reference
    double share = 0.0;  // of the plane's light
  };
  Angle centroid;             // mean lift above that of the reference
  Angle rms_width;            // of the lifts about the centroid
  Angle centroid_per_degree;  // what one degree of climb adds to the centroid
  std::vector<Part> parts;    // one a nanometre that has light; the shares add up to 1
};

// `weight` is how much each colour counts: source x optics x filter x sensor. No light: all nil.
// Valid: as lift. Accuracy: as dispersion. Source: [Filippenko1982].
DispersedBand disperse(const SpectralCurve& weight, const Weather& weather, Angle apparent_altitude,
                       Length reference = kLiftReference);

// What the smear leaves of detail along the vertical, about the centroid: sum of shares times exp(-2 pi i f lift). Its
// modulus is the contrast kept; across the vertical all is kept. A smear that is small against the period keeps
// 1 - 2 (pi f rms)^2.
// Valid: periods above 0.2" at 10 deg altitude, finer higher up. Accuracy: 1e-3.
std::complex<double> vertical_transfer(const DispersedBand& band, SpatialFrequency frequency);
double vertical_mtf(const DispersedBand& band, SpatialFrequency frequency);

}  // namespace halfarc
