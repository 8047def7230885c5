// Site spectra: two noise-independent looks at the same instant, from one frame.
//
// The two green sites of a Bayer cell (for a mono sensor the same two diagonal sites) see the same light through the
// same air at the same moment, but their photon and read noise are independent. So the cross spectrum of the two
// half-resolution pictures that they form, averaged over frames, is the power of the blurred scene without any noise
// bias, and the auto spectra tell the noise. From sums over aligned frames come
//     coherent power  M = |mean over frames|^2      (what survives in the aligned mean)
//     mean power      P = mean over frames of |.|^2 (what every single frame holds)
// both free of noise, ring by ring. Their ratio measures the air (blur.h); M against the noise measures what a choice
// of frames is worth (select.h). Frames that follow each other closely see nearly the same air: where they are said to
// be neighbours their products tell how fast the air changes, and are kept out of M.
#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <span>
#include <vector>

#include "halfarc/base/pixel.h"
#include "halfarc/frames/recording.h"
#include "halfarc/restore/shift_field.h"
#include "halfarc/restore/spectrum.h"
#include "halfarc/restore/window.h"

namespace halfarc {

// The two site pictures of one raw frame's window, as spectra already moved back by `shift` (and by half a cell, so
// that both sites refer to the same point).
struct SitePair {
  Spectrum first;
  Spectrum second;
};

// A field of local shifts, given at places of the reference, is undone in both pictures by cubic look-up: what that
// takes from fine detail it takes from every frame alike, and the ratio of M to P does not feel it.
SitePair site_pair(const RecordingInfo& info, std::span<const std::byte> frame, const Window& window,
                   PixelOffset shift, const ShiftField& field = {});

constexpr std::size_t kNeighbours = 3;  // frames after a frame that may be called its neighbours

// Sums over aligned frames. Plain values: sums of disjoint sets of frames can be added.
class SiteSums {
 public:
  SiteSums() = default;
  explicit SiteSums(const Window& window);

  void add(const SitePair& pair);
  // Both frames were, or will be, added; the later one was taken `apart` frames after the earlier. Valid: apart from 1
  // to kNeighbours.
  void add_neighbours(const SitePair& earlier, const SitePair& later, std::size_t apart);
  // Frames of `a` and frames of `b`, all of which were added, are not to be compared in M.
  void keep_apart(const SiteSums& a, const SiteSums& b);
  SiteSums& operator+=(const SiteSums& other);
  std::size_t frames() const { return frames_; }

  struct RingPowers {
    std::vector<double> frequency;                       // cycles per pixel of the frame, up to 0.25
    std::vector<double> coherent;                        // M, corrected for the number of frames
    std::vector<double> mean;                            // P
    std::vector<double> noisy;                           // mean power of one site's spectrum, noise included
    std::array<std::vector<double>, kNeighbours> later;  // shared by frames 1, 2, ... apart; empty if none were added
    std::vector<double> population;                      // Fourier values in the ring
  };
  RingPowers rings() const;

 private:
  std::size_t frames_ = 0;
  int width_ = 0;  // of a site picture
  int height_ = 0;
  std::vector<std::complex<double>> first_;
  std::vector<std::complex<double>> second_;
  std::vector<double> cross_;                           // sum of Re(first conj second), one a Fourier value
  std::vector<double> auto_;                            // sum of (|first|^2 + |second|^2) / 2
  std::array<std::vector<double>, kNeighbours> later_;  // sum of Re(first conj second of a neighbour), both ways halved
  std::array<std::size_t, kNeighbours> pairs_{};
  std::vector<double> apart_;  // sum of Re(first conj second) over pairs that are kept apart, both orders
  double apart_pairs_ = 0.0;
};

// The sum of groups whose frames take turns in time: a, b, c, ..., a, b, c, ... Frames of groups next to each other (the
// last and the first as well) may have seen the same air and are kept apart, if there are at least four groups.
// `left_out`: a group that is not counted, or any number beyond.
SiteSums sum_of_turns(std::span<const SiteSums> groups, std::size_t left_out = static_cast<std::size_t>(-1));

}  // namespace halfarc
