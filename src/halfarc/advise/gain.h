// Gain: what a turn is worth, in the currency of the budget: how much more contrast half-arc detail would have after
// it.
//
// What coma, defocus or a colour split costs depends on its size alone (in the mean over directions), along a curve
// that falls. The state now and the state after a turn are both uncertain, and together: what makes one wrong makes the
// other wrong as well. So the gain is the mean over their common errors, and carries what these leave uncertain. Other
// causes of blur multiply both states alike and drop out.
#pragma once

#include <array>
#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/base/length.h"
#include "halfarc/base/measured.h"
#include "halfarc/budget/blur.h"
#include "halfarc/optics/pupil.h"

namespace halfarc {

// What is left of half-arc contrast by sizes from nil on, never rising: where contrast comes back with the wrong sign
// nothing is gained. Between the sizes the curve is straight; beyond the last it stays.
struct ContrastCurve {
  std::vector<double> size;
  std::vector<double> contrast;

  double at(double one) const;
};

// Against waves at the edge, of coma or defocus. Valid: up to 3 waves; beyond, what 3 waves leave.
// Accuracy: 0.01 (straight between the sizes). Source: optics/wavefront.h.
ContrastCurve coma_curve(const Pupil& pupil, Length wavelength);
ContrastCurve defocus_curve(const Pupil& pupil, Length wavelength);

// Against arcseconds between blue and red. Making the picture lays the colours upon each other again, and what stays is
// each plane's own width, `inside` of that distance (rms). Valid: up to 3". Accuracy: as budget/causes.h.
ContrastCurve colour_curve(double inside);

// The state now (x, y) and after the turn (x, y), with the errors they share. Of one number leave the y nil.
struct BeforeAfter {
  std::array<double, 4> mean{};
  std::array<double, 16> covariance{};
};

// Relative: 0.1 is a tenth more contrast. Valid: any. Accuracy: 1 % of the contrast (three points an axis).
// Source: Gauss-Hermite quadrature [Abramowitz1964] 25.4.46.
Measured<double> expected_gain(const ContrastCurve& curve, const BeforeAfter& states);

// Less than this nobody sees: half a part in a hundred (common practice).
inline constexpr double kLeastGain = 0.005;

// The test that every advice must pass: it gains what can be seen, and more than its own error.
inline bool worth_doing(const Measured<double>& gain) { return gain.value > kLeastGain && gain.value > gain.sigma; }

}  // namespace halfarc
