#include "halfarc/optics/wavefront.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace halfarc {
namespace {

constexpr double kTurn = 2.0 * std::numbers::pi;
constexpr int kDirections = 12;  // over half a turn: a contrast is the same for opposite directions

bool open(const Pupil& pupil, double x, double y) {
  const double square = x * x + y * y;
  return square <= 1.0 && square >= pupil.obstruction * pupil.obstruction;
}

double largest(const Wavefront& w) {
  return std::max({std::abs(w.defocus), std::abs(w.spherical), std::hypot(w.coma_x, w.coma_y),
                   std::hypot(w.astigmatism, w.astigmatism_45)});
}

// Calls visit(x, y) at the centres of the cells of a square grid of 2 by 2 pupil radii.
template <class Visit>
void each_cell(int cells, const Visit& visit) {
  for (int j = 0; j < cells; ++j) {
    const double y = (2.0 * j + 1.0) / cells - 1.0;
    for (int i = 0; i < cells; ++i) visit((2.0 * i + 1.0) / cells - 1.0, y);
  }
}

}  // namespace

SpatialFrequency SkyFrequency::length() const {
  return SpatialFrequency::per_rad(std::hypot(x.per_rad(), y.per_rad()));
}

Length path(const Wavefront& w, double x, double y) {
  const double square = x * x + y * y;
  const double waves = w.defocus * square + w.spherical * square * square + (w.coma_x * x + w.coma_y * y) * square +
                       w.astigmatism * (x * x - y * y) + w.astigmatism_45 * 2.0 * x * y;
  return w.wavelength * waves;
}

double contrast_left(const Wavefront& wavefront, const Pupil& pupil, Length wavelength, const SkyFrequency& frequency) {
  if (largest(wavefront) == 0.0) return 1.0;
  const double radius = pupil.diameter.m() / 2.0;
  const double dx = wavelength.m() * frequency.x.per_rad() / radius / 2.0;  // half the shift, in radii
  const double dy = wavelength.m() * frequency.y.per_rad() / radius / 2.0;
  std::complex<double> overlap = 0.0;
  double area = 0.0;
  each_cell(largest(wavefront) > 1.0 ? 256 : 128, [&](double x, double y) {
    if (!open(pupil, x + dx, y + dy) || !open(pupil, x - dx, y - dy)) return;
    const double phase = kTurn * (path(wavefront, x + dx, y + dy) - path(wavefront, x - dx, y - dy)) / wavelength;
    overlap += std::polar(1.0, phase);
    area += 1.0;
  });
  return area > 0.0 ? std::abs(overlap) / area : 1.0;
}

double contrast_left(const Wavefront& wavefront, const Pupil& pupil, Length wavelength, SpatialFrequency frequency) {
  double sum = 0.0;
  for (int k = 0; k < kDirections; ++k) {
    const double angle = 0.5 * kTurn * (k + 0.5) / kDirections;
    sum += contrast_left(wavefront, pupil, wavelength, {frequency * std::cos(angle), frequency * std::sin(angle)});
  }
  return sum / kDirections;
}

double rms_waves(const Wavefront& wavefront, const Pupil& pupil) {
  double n = 0.0, sum = 0.0, squares = 0.0, along_x = 0.0, along_y = 0.0, tilt = 0.0;
  each_cell(256, [&](double x, double y) {
    if (!open(pupil, x, y)) return;
    const double waves = path(wavefront, x, y) / wavefront.wavelength;
    n += 1.0;
    sum += waves;
    squares += waves * waves;
    along_x += waves * x;
    along_y += waves * y;
    tilt += x * x;
  });
  const double tilts = (along_x * along_x + along_y * along_y) / tilt;
  return std::sqrt(std::max(0.0, (squares - sum * sum / n - tilts) / n));
}

}  // namespace halfarc
