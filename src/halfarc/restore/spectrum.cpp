#include "halfarc/restore/spectrum.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>

#include "halfarc/base/fourier.h"

namespace halfarc {
namespace {

// exp(-2 pi i f d) for every frequency along one axis.
std::vector<std::complex<float>> phases(int count, double offset, auto frequency) {
  std::vector<std::complex<float>> result(static_cast<std::size_t>(count));
  for (int k = 0; k < count; ++k) {
    const double angle = -2.0 * std::numbers::pi * frequency(k) * offset;
    result[static_cast<std::size_t>(k)] = {static_cast<float>(std::cos(angle)), static_cast<float>(std::sin(angle))};
  }
  return result;
}

}  // namespace

Spectrum spectrum_of(View<const float> picture) {
  Spectrum s;
  s.width = picture.width();
  s.height = picture.height();
  s.values = Plane<std::complex<float>>(s.width / 2 + 1, s.height);
  if (picture.stride() == picture.width() && reinterpret_cast<std::uintptr_t>(picture.data()) % 64 == 0) {
    fourier_forward(s.width, s.height, picture.data(), s.values.data());
  } else {
    Plane<float> aligned(s.width, s.height);
    for (int y = 0; y < s.height; ++y) std::copy_n(picture.row(y), s.width, aligned.row(y));
    fourier_forward(s.width, s.height, aligned.data(), s.values.data());
  }
  return s;
}

Plane<float> picture_of(const Spectrum& spectrum) {
  Plane<std::complex<float>> scratch = spectrum.values.copy();
  Plane<float> picture(spectrum.width, spectrum.height);
  fourier_inverse(spectrum.width, spectrum.height, scratch.data(), picture.data());
  return picture;
}

void move_by(Spectrum& s, PixelOffset offset) {
  const auto across = phases(s.values.width(), offset.x, [&](int k) { return s.fx(k); });
  const auto down = phases(s.values.height(), offset.y, [&](int k) { return s.fy(k); });
  for (int ky = 0; ky < s.values.height(); ++ky) {
    std::complex<float>* row = s.values.row(ky);
    for (int kx = 0; kx < s.values.width(); ++kx)
      row[kx] *= across[static_cast<std::size_t>(kx)] * down[static_cast<std::size_t>(ky)];
  }
}

Plane<float> moved_by(View<const float> picture, PixelOffset offset) {
  Spectrum s = spectrum_of(picture);
  move_by(s, offset);
  return picture_of(s);
}

Rings::Rings(int width, int height)
    : longer_(std::max(width, height)), count_(longer_ / 2 + 1), ring_(width / 2 + 1, height) {
  population_.assign(static_cast<std::size_t>(count_), 0.0);
  for (int ky = 0; ky < height; ++ky) {
    const double fy = static_cast<double>(2 * ky < height ? ky : ky - height) / height;
    for (int kx = 0; kx <= width / 2; ++kx) {
      const double f = std::hypot(static_cast<double>(kx) / width, fy);
      const int ring = std::min(static_cast<int>(std::lround(f * longer_)), count_ - 1);
      ring_(kx, ky) = ring;
      population_[static_cast<std::size_t>(ring)] += kx == 0 || 2 * kx == width ? 1.0 : 2.0;
    }
  }
}

}  // namespace halfarc
