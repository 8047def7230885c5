// Fourier transforms of real pictures and complex grids, in single precision, through FFTW.
//
// A picture of width x height real samples has a half spectrum of (width/2 + 1) x height complex values: column kx,
// row ky holds sum over x, y of picture(x, y) exp(-2 pi i (kx x / width + ky y / height)); the other half is its mirror
// image. Neither direction is normalised by FFTW; inverse() here divides by width x height, so that it undoes
// forward().
//
// Plans are made once a size and kept for the life of the program, behind a lock; transforms themselves run on any
// number of threads at once. Plans are estimated, not timed, so that the same input gives the same bytes every time.
// Arrays must be aligned to 64 bytes (Plane's samples are).
#pragma once

#include <complex>
#include <cstddef>

namespace halfarc {

// Number of complex values in the half spectrum of a width x height picture.
constexpr std::size_t half_spectrum_size(int width, int height) {
  return static_cast<std::size_t>(width / 2 + 1) * static_cast<std::size_t>(height);
}

// Valid: width, height >= 1. `picture` is not changed.
void fourier_forward(int width, int height, const float* picture, std::complex<float>* half_spectrum);

// `half_spectrum` is overwritten with scratch.
void fourier_inverse(int width, int height, std::complex<float>* half_spectrum, float* picture);

// The forward transform of a width x height grid of complex values, in place: the whole spectrum, same sign, not
// normalised. Valid: width, height >= 1.
void fourier_forward(int width, int height, std::complex<float>* grid);

}  // namespace halfarc
