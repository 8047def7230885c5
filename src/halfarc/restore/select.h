// Selection: how many of the graded frames to keep, decided by what they contribute.
//
// Keeping fewer, sharper frames leaves more contrast in fine detail; keeping more leaves less noise. Both are measured
// from the site sums of frames sorted by grade: for the best fraction p of all N frames, every Fourier value of the
// mean carries log2(1 + SNR) bits, SNR = M_p / ((Q_p - M_p) / (p N)), with M_p the coherent power and Q_p the power of
// a single frame with its noise and its air (site_spectra.h). The fraction with the most bits is kept. Source: capacity
// of a noisy channel [Shannon1948] applied to each Fourier value.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "halfarc/restore/site_spectra.h"

namespace halfarc {

struct KeptFraction {
  double fraction = 1.0;      // of all frames
  std::vector<double> tried;  // fractions, ascending
  std::vector<double> bits;   // information in the mean of the best such fraction, whole picture
};

// `graded` holds the site sums of consecutive equal slices of the frames, best slice first (from a sample of them);
// `all_frames` is the number of frames that a fraction of 1 stands for. Valid: at least one slice with 2 frames.
KeptFraction most_informative_fraction(std::span<const SiteSums> graded, std::size_t all_frames);

}  // namespace halfarc
