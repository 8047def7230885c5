// Seeing: how strong the turbulence is, from a clip of a planet or of a star near focus.
//
// Exposures that the air breaks up differ from each other; the share of their power that survives in their aligned mean
// falls with frequency as D/r0 makes it fall (air/aligned_exposures.h), whatever the scene, the shake of the mount and,
// to first order, the errors of the optics [vonderLuhe1984]. Besides, parts of the disc may move against each other:
// shifts of rms s multiply the share by exp(-(2 pi f s)^2), and are fitted as well.
//
// An exposure is not an instant: the air changes while it lasts and the changes partly average out. How fast it changes
// is seen from each exposure and the next few; correlation falling as exp(-(t/tau)^(5/3)), as a wind across the pupil
// makes it fall at first, tells by how much the differences have been lessened, and tau tells the coherence time.
//
// The disc's own motion can only bound the seeing: air moves it by at least so much, the mount may add any amount.
// It enters as that bound, with an outer scale between 10 and 100 m (common practice; 25 m is usual). Opposite limbs
// move together but for air high above, so their difference tells heights rather than strength and is not used.
#pragma once

#include <optional>
#include <string_view>

#include "halfarc/base/duration.h"
#include "halfarc/base/measured.h"
#include "halfarc/measure/clip_optics.h"
#include "halfarc/measure/exposure_spectra.h"
#include "halfarc/measure/motion.h"

namespace halfarc {

enum class SeeingMethod { exposures, exposures_and_motion, star_ring };
std::string_view words(SeeingMethod method);  // "differences between exposures", ...

struct Seeing {
  Measured<Angle> fwhm;  // 0.97586 lambda / r0: of a star in a long exposure, at 500 nm, along the line of sight
  Measured<Length> r0;   // at 500 nm, along the line of sight
  SeeingMethod method = SeeingMethod::exposures;
  std::optional<Measured<Duration>> coherence;  // 0.314 r0 / v at 500 nm
  std::optional<Measured<Angle>> local_shift;   // rms of parts of the disc against each other, along one axis
};

// From exposures `interval` apart; `exposure` where it is known, else 0.6 to 1 of the interval is allowed for.
// Valid: D/r0 from 0.7 to 9; errors of the optics below half a wave. Accuracy: tests/measure/seeing_test.cpp.
// Errors (bad input): too little detail above the noise.
Result<Seeing> seeing_of_exposures(const ExposureSpectra& spectra, const ClipOptics& optics, Duration interval,
                                   std::optional<Duration> exposure);

// The same, less what the motion of the disc rules out. `motion` in pixels, as measured from the same clip. Nothing
// where motion rules out all of it (less likely than one in a hundred thousand): then exposures are blurred by
// something else than air, such as a telescope far out of focus.
std::optional<Seeing> bounded_by_motion(const Seeing& seeing, const Motion& motion, const ClipOptics& optics);

// From r0 at another wavelength, as a star out of focus tells it. Valid: r0 > 0.
Seeing seeing_of_r0(Measured<Length> r0, Length wavelength);

// As it would be overhead: the width falls as airmass^(-3/5). Valid: airmass 1 to 5. Source: [Roddier1981].
Seeing at_zenith(const Seeing& seeing, double airmass);

}  // namespace halfarc
