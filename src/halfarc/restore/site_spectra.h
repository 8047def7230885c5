// Site spectra: two noise-independent looks at the same instant, from one frame.
//
// The two green sites of a Bayer cell (for a mono sensor the same two diagonal sites) see the same light through the
// same air at the same moment, but their photon and read noise are independent. So the cross spectrum of the two
// half-resolution pictures that they form, averaged over frames, is the power of the blurred scene without any noise
// bias, and the auto spectra tell the noise. From sums over aligned frames come
//     coherent power  M = |mean over frames|^2      (what survives in the aligned mean)
//     mean power      P = mean over frames of |.|^2 (what every single frame holds)
// both free of noise, ring by ring. Their ratio measures the air (blur.h); M against the noise measures what a choice
// of frames is worth (select.h).
#pragma once

#include <complex>
#include <cstddef>
#include <span>
#include <vector>

#include "halfarc/base/pixel.h"
#include "halfarc/frames/recording.h"
#include "halfarc/restore/spectrum.h"
#include "halfarc/restore/window.h"

namespace halfarc {

// The two site pictures of one raw frame's window, as spectra already moved back by `shift` (and by half a cell, so
// that both sites refer to the same point).
struct SitePair {
  Spectrum first;
  Spectrum second;
};

SitePair site_pair(const RecordingInfo& info, std::span<const std::byte> frame, const Window& window,
                   PixelOffset shift);

// Sums over aligned frames. Plain values: sums of disjoint sets of frames can be added and taken apart again.
class SiteSums {
 public:
  SiteSums() = default;
  explicit SiteSums(const Window& window);

  void add(const SitePair& pair);
  SiteSums& operator+=(const SiteSums& other);
  SiteSums& operator-=(const SiteSums& other);
  std::size_t frames() const { return frames_; }

  struct RingPowers {
    std::vector<double> frequency;   // cycles per pixel of the frame, up to 0.25
    std::vector<double> coherent;    // M, corrected for the number of frames
    std::vector<double> mean;        // P
    std::vector<double> noisy;       // mean power of one site's spectrum, noise included
    std::vector<double> population;  // Fourier values in the ring
  };
  RingPowers rings() const;

 private:
  std::size_t frames_ = 0;
  int width_ = 0;  // of a site picture
  int height_ = 0;
  std::vector<std::complex<double>> first_;
  std::vector<std::complex<double>> second_;
  std::vector<double> cross_;  // sum of Re(first conj second), one a Fourier value
  std::vector<double> auto_;   // sum of (|first|^2 + |second|^2) / 2
};

}  // namespace halfarc
