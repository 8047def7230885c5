// Halves: what two independent halves of the data agree on, frequency by frequency.
//
// Two pictures of the same scene made from different frames share the scene but not the noise. Their correlation over
// a ring of Fourier values, the Fourier ring correlation (FRC), tells how much of that detail is real:
//     FRC = Re sum(A conj B) / sqrt(sum|A|^2 sum|B|^2),   expected value SNR / (1 + SNR) for equal noise.
// Each half has half of the light; the image is made of both. The image's correlation with the truth itself, which
// nobody has, follows from the FRC of its halves: sqrt(2 FRC / (1 + FRC)). It is one half where FRC = 1/7, and the
// period at which that happens is the resolution claimed. Source: [Rosenthal2003]. Beside it stands the half-bit
// threshold
//     T(n) = (0.2071 + 1.9102 / sqrt n) / (1.2071 + 0.9102 / sqrt n),
// n being the number of independent Fourier values in the ring, above which the mean of both halves carries half a bit
// a value beyond chance. Source: [Saxton1982], [vanHeel2005]. (A widely copied program prints 1.2701 for 1.2071; a test
// guards against it.)
#pragma once

#include <vector>

#include "halfarc/base/measured.h"
#include "halfarc/frames/plane.h"
#include "halfarc/restore/spectrum.h"

namespace halfarc {

// The half-bit and one-bit thresholds for n independent Fourier values. Valid: n >= 1.
double half_bit_threshold(double n);
double one_bit_threshold(double n);

struct RingCorrelation {
  std::vector<double> frequency;    // cycles per pixel, one a ring, ascending from 0
  std::vector<double> correlation;  // of the two halves
  std::vector<double> threshold;    // half-bit, or as stated
  std::vector<double> independent;  // independent Fourier values in the ring
};

// The correlation of halves whose image correlates by 1/2 with the truth.
constexpr double kHalfTrue = 1.0 / 7.0;

// The image's correlation with the truth where its halves correlate by `frc`: sqrt(2 frc / (1 + frc)), 0 for frc <= 0.
double correlation_with_truth(double frc);

// The correlation for the claim of a resolution: every ring averaged with its two neighbours on either side (weights:
// independent values), because one ring of a small disc holds too few values to say anything; threshold 1/7, or two
// standard errors of what chance makes, whichever is more. Accuracy: where the correlation falls steeply within five
// rings, the claim is up to 3 % too fine (tested on noise of known spectrum).
RingCorrelation pooled_for_claim(const RingCorrelation& rings);

// Correlation of two pictures of equal size. `mask` (values 0..1, same size) is multiplied onto both after their own
// means under the mask were taken off; its area fixes how many Fourier values of a ring are independent.
RingCorrelation ring_correlation(View<const float> a, View<const float> b, View<const float> mask);

// The frequency (cycles per pixel) at which the correlation first falls below the threshold and stays below for two
// more rings, looked for from `from` upwards and interpolated between rings. Its standard error is the frequency step
// over which the correlation, uncertain by (1 - FRC^2) / sqrt(2 n), may cross. If it never falls, the last ring's
// frequency with zero sigma; if it never rises above, `from`. Below `from` the pictures were emptied of broad light and
// say nothing.
Measured<double> resolved_frequency(const RingCorrelation& rings, double from = 0.0);

// The frequency at which the correlation passes `level`, from all rings within 30 % of `near`: there the signal falls
// against the noise like an exponential, so the correlation falls like 1 / (1 + exp(b f - a)); a and b by weighted
// least squares. Steadier than where single rings happen to cross. Its standard error comes from the fit, and is no
// smaller than the rings' scatter about it says, plus 5 % for scenes whose parts hold unlike detail. `near` itself where
// the rings bear no such fall. Valid: 0 < level < 1.
Measured<double> fitted_crossing(const RingCorrelation& rings, double level, Measured<double> near);

// The signal-to-noise ratio (power) of the MEAN of both halves in each ring: 2 FRC / (1 - FRC), smoothed over
// neighbouring rings and never rising again after it has fallen. Beyond the resolved frequency single rings say little;
// there the logarithm of the ratio goes on falling as it fell over the upper half of the resolved range. This is what
// the filter of wiener.h trusts. Rings below `from` take the value of the first ring above.
std::vector<double> signal_to_noise(const RingCorrelation& rings, double resolved, double from = 0.0);

}  // namespace halfarc
