// Registration: where a frame lies against a reference, to a small part of a pixel.
//
// The frame's luminance is correlated with the reference's over the frequencies that carry both light and signal (a
// Gaussian band limit keeps photon noise out). The peak is found on whole pixels first and then refined on the
// correlation's exact Fourier sum with Newton steps, so there is no interpolation error. How strongly a frame shows
// the reference's own fine detail is its likeness, which grades frames by what they contribute.
// Source: correlation as a Fourier sum, refined beyond the grid [GuizarSicairos2008]; bound [Robinson2004].
#pragma once

#include <vector>

#include "halfarc/base/pixel.h"
#include "halfarc/restore/spectrum.h"

namespace halfarc {

struct Registration {
  PixelOffset shift;      // a feature at p of the reference lies at p + shift in the frame
  double likeness = 0.0;  // share of the reference's fine detail that the frame shows; about 1 for the mean frame
};

class Reference {
 public:
  // `picture` is an aligned mean; `band_limit` the Gaussian width (cycles per pixel) of the band that counts.
  explicit Reference(View<const float> picture, double band_limit = 0.16);

  // Where `frame` lies, searched within `reach` pixels of `about`. Sizes must equal the reference's.
  Registration find(const Spectrum& frame, PixelOffset about, double reach) const;

  int width() const { return spectrum_.width; }
  int height() const { return spectrum_.height; }
  const Spectrum& spectrum() const { return spectrum_; }

 private:
  // Fourier values that count, a row of equal vertical frequency after the other, each from kx = 0 up without gaps.
  struct Row {
    int ky;
    int count;
    std::size_t begin;  // of its values in re_ and im_
  };
  PixelOffset peak(const Spectrum& frame, PixelOffset about, double reach) const;

  Spectrum spectrum_;
  std::vector<Row> rows_;
  std::vector<float> re_, im_;  // of the reference, conjugate and weighted; 0 at zero frequency
  std::vector<float> fine_;     // 1 where a value belongs to the detail that grades frames, else 0
  double fine_power_ = 0.0;  // of the reference with itself, normalised by its brightness
};

}  // namespace halfarc
