// Light: from how bright a body looks to electrons in a pixel.
//
// A magnitude fixes the energy that arrives in the visual band; the body's spectrum spreads it over the colours; air,
// glass, filter, dye and silicon each take their share (all as curves); the open pupil and the pixel's patch of sky
// say how many photons a second there are.
#pragma once

#include <array>

#include "halfarc/base/angle.h"
#include "halfarc/base/pixel.h"
#include "halfarc/base/spectral_curve.h"
#include "halfarc/optics/pupil.h"

namespace halfarc {

// Photons a second, square metre and nanometre of light of magnitude V = 0 at 545 nm, where the band is centred:
// 3.631e-9 erg / (s cm^2 A) over the energy of a photon, which makes 9.96e7.
// Valid: 545 nm. Accuracy: 2 %. Source: [Bessell1998] table A2.
double zero_magnitude_photons();

// Photons a second, square metre and nanometre above the air, for light of this shape (photons, any scale) and V: its
// energy in the visual band is that of V. For a surface brightness in magnitudes per square arcsecond, of each square
// arcsecond. Valid: light in the visual band. Accuracy: 2 % and that of V. Source: [Bessell1998].
SpectralCurve photons_of_magnitude(double v, const SpectralCurve& shape);

// Electrons a second in a pixel of each colour's sites, for a surface whose square arcsecond sends `photons` (after the
// air, if the curve has been multiplied with its transmission) and planes that hold everything behind the pupil.
// Valid: a surface wider than the blur. Accuracy: as the curves, 10 to 20 %. Source: definition; [Bessell1998].
std::array<double, 3> electrons_per_s(const SpectralCurve& photons, const std::array<SpectralCurve, 3>& planes,
                                      const Pupil& pupil, PlateScale scale);

// Signal over noise of light collected in some pixels, all in electrons:
// S / sqrt(S + n (1 + n / n_background) (sky + dark + read^2 + (0.289 gain)^2)).
// Valid: tens of electrons and more. Accuracy: exact for independent noises. Source: [Merline1995], [Howell2000].
struct Exposed {
  double signal_e = 0.0;
  double pixels = 1.0;
  double background_pixels = 0.0;  // over which the background was measured; 0: it is known
  double sky_e = 0.0;              // a pixel
  double dark_e = 0.0;             // a pixel
  double read_noise_e = 0.0;       // rms
  double e_per_adu = 1.0;
};
double signal_to_noise(const Exposed& exposed);

}  // namespace halfarc
