// Spectrum: the Fourier transform of a real picture, and the few things restoration does with it.
//
// Only half of it is kept (the other half is its mirror image): columns kx = 0 .. width/2, rows ky = 0 .. height-1,
// unnormalised, so that value(0,0) is the sum of all samples. Frequencies are in cycles per pixel, fy in [-0.5, 0.5).
#pragma once

#include <complex>
#include <vector>

#include "halfarc/base/pixel.h"
#include "halfarc/frames/plane.h"

namespace halfarc {

struct Spectrum {
  int width = 0;                      // of the picture
  int height = 0;                     // of the picture
  Plane<std::complex<float>> values;  // (width/2 + 1) x height

  double fx(int kx) const { return static_cast<double>(kx) / width; }
  double fy(int ky) const { return static_cast<double>(2 * ky < height ? ky : ky - height) / height; }
  // How often a kept value stands in the full transform: 1 on the columns that mirror onto themselves, else 2.
  int copies(int kx) const { return kx == 0 || 2 * kx == width ? 1 : 2; }
};

Spectrum spectrum_of(View<const float> picture);
Plane<float> picture_of(const Spectrum& spectrum);

// The spectrum of the picture moved by `offset` (a feature at p moves to p + offset); exact for band-limited pictures.
void move_by(Spectrum& spectrum, PixelOffset offset);
Plane<float> moved_by(View<const float> picture, PixelOffset offset);

// Rings of equal |frequency|, one Fourier sample of the longer side wide. Ring k holds the frequencies nearest to
// k / max(width, height) cycles per pixel; frequencies beyond 0.5 are in the last ring.
class Rings {
 public:
  Rings(int width, int height);
  int count() const { return count_; }
  double frequency(int ring) const { return static_cast<double>(ring) / longer_; }  // cycles per pixel
  int ring(int kx, int ky) const { return ring_(kx, ky); }
  // Number of Fourier values in each ring of the full transform.
  const std::vector<double>& population() const { return population_; }

 private:
  int longer_;
  int count_;
  Plane<int> ring_;
  std::vector<double> population_;
};

}  // namespace halfarc
