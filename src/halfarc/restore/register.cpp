#include "halfarc/restore/register.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace halfarc {
namespace {

constexpr double kTurn = 2.0 * std::numbers::pi;
constexpr double kLeastWeight = 0.02;               // terms weaker than this in the band limit are left out
constexpr double kFineFrom = 0.06, kFineTo = 0.20;  // cycles per pixel: detail of 5 to 17 pixels
constexpr double kConverged = 1e-4;                 // pixels

std::vector<std::complex<double>> phase_table(int count, double offset, auto frequency) {
  std::vector<std::complex<double>> table(static_cast<std::size_t>(count));
  for (int k = 0; k < count; ++k) table[static_cast<std::size_t>(k)] = std::polar(1.0, kTurn * frequency(k) * offset);
  return table;
}

}  // namespace

Reference::Reference(View<const float> picture, double band_limit) : spectrum_(spectrum_of(picture)) {
  const double total = std::abs(static_cast<double>(spectrum_.values(0, 0).real()));
  for (int ky = 0; ky < spectrum_.values.height(); ++ky) {
    for (int kx = 0; kx < spectrum_.values.width(); ++kx) {
      if (kx == 0 && ky == 0) continue;
      const double f = std::hypot(spectrum_.fx(kx), spectrum_.fy(ky));
      const double band = std::exp(-0.5 * (f / band_limit) * (f / band_limit));
      if (band < kLeastWeight) continue;
      const std::complex<float> value = spectrum_.values(kx, ky);
      const bool fine = f >= kFineFrom && f <= kFineTo;
      const float copies = static_cast<float>(spectrum_.copies(kx));
      terms_.push_back({kx, ky, std::conj(value) * static_cast<float>(band), copies, fine});
      if (fine && total > 0.0)
        fine_power_ += static_cast<double>(copies) * band * static_cast<double>(std::norm(value)) / total;
    }
  }
}

PixelOffset Reference::peak(const Spectrum& frame, PixelOffset about, double reach) const {
  Spectrum cross;
  cross.width = frame.width;
  cross.height = frame.height;
  cross.values = Plane<std::complex<float>>(frame.values.width(), frame.values.height());
  for (const Term& t : terms_) cross.values(t.kx, t.ky) = frame.values(t.kx, t.ky) * t.conjugate;
  const Plane<float> correlation = picture_of(cross);

  const int limit_x = std::min(static_cast<int>(std::ceil(reach)), frame.width / 2 - 1);
  const int limit_y = std::min(static_cast<int>(std::ceil(reach)), frame.height / 2 - 1);
  const int about_x = static_cast<int>(std::lround(about.x));
  const int about_y = static_cast<int>(std::lround(about.y));
  const auto wrap = [](int i, int n) { return ((i % n) + n) % n; };
  PixelOffset best = {static_cast<double>(about_x), static_cast<double>(about_y)};
  float most = -1e30F;
  for (int dy = about_y - limit_y; dy <= about_y + limit_y; ++dy) {
    const float* row = correlation.row(wrap(dy, frame.height));
    for (int dx = about_x - limit_x; dx <= about_x + limit_x; ++dx) {
      const float value = row[wrap(dx, frame.width)];
      if (value > most) {
        most = value;
        best = {static_cast<double>(dx), static_cast<double>(dy)};
      }
    }
  }
  return best;
}

Registration Reference::find(const Spectrum& frame, PixelOffset about, double reach) const {
  Registration result;
  result.shift = peak(frame, about, reach);
  double fine = 0.0;
  for (int step = 0; step < 8; ++step) {
    const auto across = phase_table(frame.values.width(), result.shift.x, [&](int k) { return frame.fx(k); });
    const auto down = phase_table(frame.values.height(), result.shift.y, [&](int k) { return frame.fy(k); });
    double gx = 0.0, gy = 0.0, xx = 0.0, xy = 0.0, yy = 0.0;
    fine = 0.0;
    for (const Term& t : terms_) {
      const std::complex<double> value = std::complex<double>(frame.values(t.kx, t.ky) * t.conjugate) *
                                         across[static_cast<std::size_t>(t.kx)] * down[static_cast<std::size_t>(t.ky)];
      const double wx = kTurn * frame.fx(t.kx);
      const double wy = kTurn * frame.fy(t.ky);
      const double copies = static_cast<double>(t.copies);
      gx -= copies * value.imag() * wx;
      gy -= copies * value.imag() * wy;
      xx += copies * value.real() * wx * wx;
      xy += copies * value.real() * wx * wy;
      yy += copies * value.real() * wy * wy;
      if (t.fine) fine += copies * value.real();
    }
    const double determinant = xx * yy - xy * xy;
    if (!(determinant > 0.0) || !(xx > 0.0)) break;  // not at a peak: the whole-pixel place must do
    const PixelOffset move = {std::clamp((yy * gx - xy * gy) / determinant, -0.7, 0.7),
                              std::clamp((xx * gy - xy * gx) / determinant, -0.7, 0.7)};
    result.shift = result.shift + move;
    if (move.length() < kConverged) break;
  }
  const double brightness = std::abs(static_cast<double>(frame.values(0, 0).real()));
  if (fine_power_ > 0.0 && brightness > 0.0) result.likeness = fine / brightness / fine_power_;
  return result;
}

}  // namespace halfarc
