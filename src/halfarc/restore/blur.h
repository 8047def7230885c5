// Blur: what the air has done to the aligned mean, measured from how the frames disagree with each other.
//
// One frame's transfer differs from the next, and the more it does the more the mean has lost. The ratio of coherent
// to mean power (site_spectra.h) is free of the scene: a scene's own spectrum stands above and below the line and
// cancels. It falls from 1 in the way that turbulence of strength D/r0 makes it fall (air/aligned_exposures.h), times
// exp(-(2 pi f s)^2) for local shifts of rms s that move parts of the picture against each other. Both numbers are
// fitted; together with the sharing of raw samples (accumulate.h) they give the transfer of the mean against a perfect
// telescope of the same aperture.
// An exposure averages out some of what makes it differ from the next one; how much follows from what neighbouring
// frames still share (air/changing_air.h), and is put back before the fit. Source: spectral ratio as seeing measure
// [vonderLuhe1984]; here against aligned exposures.
#pragma once

#include <span>
#include <vector>

#include "halfarc/air/changing_air.h"
#include "halfarc/base/length.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/pixel.h"
#include "halfarc/optics/pupil.h"
#include "halfarc/restore/site_spectra.h"
#include "halfarc/restore/wiener.h"

namespace halfarc {

// The instrument as far as blur depends on it.
struct Aperture {
  Pupil pupil = {Length::mm(203.0), 0.34};
  PlateScale scale = PlateScale::arcsec_per_px(0.1753);
};

// The highest frequency (cycles per pixel) that the aperture passes at a wavelength.
double cut_off_per_px(const Aperture& aperture, Length wavelength);

// Air that is nearly the same all over: common practice.
inline constexpr Measured<double> kUsualLocalShift{0.0, 0.5};

struct AirBlur {
  Measured<double> d_over_r0;    // at `wavelength`, as it acts in all frames
  Measured<double> local_shift;  // rms of local shifts, pixels, one axis
  double smear = 0.0;            // rms motion within an exposure, pixels, one axis (smear.h)
  double kept = 1.0;             // the sharpest share of the frames, which make the mean
  Length wavelength;
  bool measured = false;  // false: the frames did not say, and a usual night was assumed
};

// Fits both numbers to the frames' site sums, given as disjoint groups of frames that take turns in time (at least
// 4; their scatter gives the errors, and groups next to each other are not compared: site_spectra.h). A usual night (D/r0 about 2.5, within a factor of 2: common practice, seeing of 1 to 3 arcsec) stands in
// as a weak prior, so that a noisy recording gives a sensible answer with an honest error. `exposure` is in intervals
// between frames; `local_shift` (pixels rms, one axis) is what is known of it beforehand.
AirBlur measure_blur(std::span<const SiteSums> groups, const Aperture& aperture, Length wavelength,
                     double exposure = kUsualExposure, Measured<double> local_shift = kUsualLocalShift);

// The transfer of the aligned, accumulated mean in light of `wavelength` against a perfect telescope's picture:
// air, local shifts, smear and the sharing of raw samples. r0 grows with wavelength to the power 6/5.
Transfer mean_transfer(const AirBlur& blur, const Aperture& aperture, Length wavelength);

}  // namespace halfarc
