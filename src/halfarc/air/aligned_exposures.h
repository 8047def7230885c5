// Aligned exposures: what is left of the contrast when short exposures are laid on top of each other by their shifts.
//
// An exposure shorter than the air's coherence time is shifted and broken up, but not smeared. Aligning exposures
// removes the shift; what is left of fine detail in their mean, against a perfect telescope, depends on D/r0 and on the
// frequency as a share x of the aperture's cut-off. Two relations are tabulated:
//   - the mean transfer  <H>(x): real contrast in the mean of exposures aligned to their own mean;
//   - the spectral ratio |<H>|^2 / <|H|^2>(x): how much of each exposure's own power survives in the mean. It can be
//     measured on any scene, because the scene cancels, and so it tells D/r0.
// A closed form exists for exposures with the tilt removed [Fried1966], but the alignment of bright discs follows the
// sharpest part of the image rather than its tilt, and does better; so both relations are computed once by Monte Carlo.
// The command that makes the table is bench/aligned_exposure_table; it runs the phase screens of simulate/.
#pragma once

namespace halfarc {

// Air that is steady over the run still has better and worse moments: keeping only the sharpest `kept` share of the
// exposures leaves more contrast. The spectral ratio is that of all exposures.
// Valid: 0.5 <= d_over_r0 <= 10, 0 <= x <= 1, 0.05 <= kept <= 1 (all clamped). Kolmogorov air with an outer scale of 100
// apertures, obstruction 0.34 (obstructions from 0 to 0.4 change both by less than 0.03).
// Accuracy: 0.01, from 4000 exposures (the best 5 % of D/r0 above 5: 0.03).
double aligned_mean_transfer(double d_over_r0, double x, double kept = 1.0);
double aligned_spectral_ratio(double d_over_r0, double x);

}  // namespace halfarc
