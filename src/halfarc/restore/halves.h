// Halves: what two independent halves of the data agree on, frequency by frequency.
//
// Two pictures of the same scene made from different frames share the scene but not the noise. Their correlation over
// a ring of Fourier values, the Fourier ring correlation (FRC), tells how much of that detail is real:
//     FRC = Re sum(A conj B) / sqrt(sum|A|^2 sum|B|^2),   expected value SNR / (1 + SNR) for equal noise.
// The resolution is where the FRC first stays below the half-bit threshold
//     T(n) = (0.2071 + 1.9102 / sqrt n) / (1.2071 + 0.9102 / sqrt n),
// n being the number of independent Fourier values in the ring: there the mean of both halves carries half a bit a
// value. Source: [Saxton1982], [vanHeel2005]. (A widely copied program prints 1.2701 for 1.2071; a test guards against
// it.)
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
  std::vector<double> threshold;    // half-bit
  std::vector<double> independent;  // independent Fourier values in the ring
};

// Correlation of two pictures of equal size. `mask` (values 0..1, same size) is multiplied onto both after their own
// means under the mask were taken off; its area fixes how many Fourier values of a ring are independent.
RingCorrelation ring_correlation(View<const float> a, View<const float> b, View<const float> mask);

// The frequency (cycles per pixel) at which the correlation first falls below the threshold and stays below for two
// more rings, looked for from `from` upwards and interpolated between rings. Its standard error is the frequency step
// over which the correlation, uncertain by (1 - FRC^2) / sqrt(2 n), may cross. If it never falls, the last ring's
// frequency with zero sigma; if it never rises above, `from`. Below `from` the pictures were emptied of broad light and
// say nothing.
Measured<double> resolved_frequency(const RingCorrelation& rings, double from = 0.0);

// The signal-to-noise ratio (power) of the MEAN of both halves in each ring: 2 FRC / (1 - FRC), smoothed over
// neighbouring rings and never rising again after it has fallen. Beyond the resolved frequency single rings say little;
// there the logarithm of the ratio goes on falling as it fell over the upper half of the resolved range. This is what
// the filter of wiener.h trusts. Rings below `from` take the value of the first ring above.
std::vector<double> signal_to_noise(const RingCorrelation& rings, double resolved, double from = 0.0);

}  // namespace halfarc
