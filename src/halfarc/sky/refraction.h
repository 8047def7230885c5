// How much the air lifts a body: the sum over all colours of a visual or camera picture. (What the air does to
// each colour, and so dispersion, is air/'s business.)
#pragma once

#include "halfarc/base/angle.h"
#include "halfarc/base/length.h"
#include "halfarc/sky/site.h"

namespace halfarc::sky {

// The refraction of a body at the true (airless) altitude, to be added to it.
// Above 10 deg: dz = A tan z + B tan^3 z with A, B of the weather from ERFA eraRefco. Below: Saemundsson's formula,
// scaled to join at 10 deg and for pressure and temperature; below -1 deg its value at -1 deg fading to none at -6 deg.
// Valid: any altitude; 400 to 1000 nm.   Accuracy: 0.1" above 20 deg, 1" at 10 deg; 1' near the horizon, where the
// weather along the ray decides.   Source: ERFA refco; [Saemundsson1986].
Angle refraction(Angle true_altitude, const Weather& weather, Length wavelength = Length::nm(550.0));

// Saemundsson's formula as published, for 1010 hPa and 10 degC. Valid: 0 to 90 deg.
Angle saemundsson_refraction(Angle true_altitude);

// How much more air than at the zenith: 1 / (sin h + 0.50572 (h + 6.07995)^-1.6364), h the apparent altitude in
// degrees. Valid: 0 to 90 deg (38 on the horizon).   Accuracy: 0.5 % down to the horizon.   Source: [Kasten1989].
double airmass(Angle apparent_altitude);

}  // namespace halfarc::sky
