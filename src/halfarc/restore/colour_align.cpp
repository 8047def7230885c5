#include "halfarc/restore/colour_align.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "halfarc/base/fourier.h"

namespace halfarc {
namespace {

constexpr double kTurn = 2.0 * std::numbers::pi;
constexpr double kMostCoherence = 0.98;  // so that a perfect ring does not outweigh all others
constexpr int kBands = 60;               // of coherence, over 0 .. 0.5 cycles per pixel

// The cross spectrum of two pictures, and which coherence band each value belongs to.
class CrossSpectrum {
 public:
  CrossSpectrum(const Spectrum& reference, const Spectrum& other)
      : frame_{other.width, other.height, Plane<std::complex<float>>(other.values.width(), other.values.height())},
        power_(kBands + 1),
        population_(kBands + 1) {
    std::vector<double> power_a(kBands + 1), power_b(kBands + 1);
    for_each([&](int kx, int ky, std::size_t band, double copies) {
      const std::complex<float> a = reference.values(kx, ky);
      const std::complex<float> b = other.values(kx, ky);
      frame_.values(kx, ky) = b * std::conj(a);
      power_a[band] += copies * static_cast<double>(std::norm(a));
      power_b[band] += copies * static_cast<double>(std::norm(b));
      population_[band] += copies;
    });
    for (std::size_t i = 0; i < power_.size(); ++i) power_[i] = std::sqrt(power_a[i] * power_b[i]);
  }

  const Spectrum& values() const { return frame_; }

  // Real part of the coherence in each band once the offset is taken out; bands without significance are zero.
  std::vector<double> coherence(PixelOffset offset) const {
    std::vector<double> sum(kBands + 1), result(kBands + 1);
    for_each(
        [&](int kx, int ky, std::size_t band, double copies) { sum[band] += copies * turned(kx, ky, offset).real(); });
    const auto raw = [&](int i) {
      const std::size_t at = static_cast<std::size_t>(std::clamp(i, 0, kBands));
      return power_[at] > 0.0 ? sum[at] / power_[at] : 0.0;
    };
    for (int i = 0; i <= kBands; ++i) {
      const std::size_t at = static_cast<std::size_t>(i);
      const double g = 0.25 * raw(i - 1) + 0.5 * raw(i) + 0.25 * raw(i + 1);
      const double chance = 2.0 / std::sqrt(std::max(1.0, population_[at]));
      result[at] = g > chance ? std::min(g, kMostCoherence) : 0.0;
    }
    result[0] = 0.0;  // the mean brightness carries no position
    return result;
  }

  std::complex<double> turned(int kx, int ky, PixelOffset offset) const {
    const double angle = kTurn * (frame_.fx(kx) * offset.x + frame_.fy(ky) * offset.y);
    return std::complex<double>(frame_.values(kx, ky)) * std::complex<double>(std::cos(angle), std::sin(angle));
  }

  double mean_power(std::size_t band) const { return power_[band] / std::max(1.0, population_[band]); }

  template <class Body>
  void for_each(Body body) const {
    for (int ky = 0; ky < frame_.values.height(); ++ky) {
      for (int kx = 0; kx < frame_.values.width(); ++kx) {
        const double f = std::hypot(frame_.fx(kx), frame_.fy(ky));
        const int band = std::min(static_cast<int>(f / 0.5 * kBands), kBands);
        body(kx, ky, static_cast<std::size_t>(band), static_cast<double>(frame_.copies(kx)));
      }
    }
  }

 private:
  Spectrum frame_;
  std::vector<double> power_;
  std::vector<double> population_;
};

// The whole-pixel peak of the correlation of the fine detail (frequencies where limbs and markings live).
PixelOffset coarse_offset(const CrossSpectrum& cross, double reach) {
  Spectrum s;
  s.width = cross.values().width;
  s.height = cross.values().height;
  s.values = cross.values().values.copy();
  for (int ky = 0; ky < s.values.height(); ++ky) {
    for (int kx = 0; kx < s.values.width(); ++kx) {
      const double f = std::hypot(s.fx(kx), s.fy(ky));
      const double high = f * f / (f * f + 0.05 * 0.05);
      s.values(kx, ky) *= static_cast<float>(high * high * std::exp(-0.5 * (f / 0.12) * (f / 0.12)));
    }
  }
  const Plane<float> correlation = picture_of(s);
  PixelOffset best;
  float most = -1e30F;
  const int limit = static_cast<int>(reach);
  for (int dy = -limit; dy <= limit; ++dy) {
    for (int dx = -limit; dx <= limit; ++dx) {
      if (2 * std::abs(dx) >= s.width || 2 * std::abs(dy) >= s.height) continue;
      const float value = correlation((dx + s.width) % s.width, (dy + s.height) % s.height);
      if (value > most) {
        most = value;
        best = {static_cast<double>(dx), static_cast<double>(dy)};
      }
    }
  }
  return best;
}

struct Normal {  // normal equations of one Newton step, and the information for the standard error
  double gx = 0.0, gy = 0.0, xx = 0.0, xy = 0.0, yy = 0.0;
  double info_x = 0.0, info_y = 0.0;
};

Normal equations(const CrossSpectrum& cross, PixelOffset offset) {
  const std::vector<double> coherence = cross.coherence(offset);
  Normal n;
  cross.for_each([&](int kx, int ky, std::size_t band, double copies) {
    const double g = coherence[band];
    const bool nyquist = 2 * kx == cross.values().width || 2 * ky == cross.values().height;
    if (g <= 0.0 || nyquist) return;  // at the Nyquist frequency a shift has no phase
    const double information = copies * g * g / (1.0 - g * g);
    const double weight = information / (g * cross.mean_power(band));
    const std::complex<double> value = cross.turned(kx, ky, offset);
    const double wx = kTurn * cross.values().fx(kx);
    const double wy = kTurn * cross.values().fy(ky);
    n.gx -= weight * value.imag() * wx;
    n.gy -= weight * value.imag() * wy;
    n.xx += weight * value.real() * wx * wx;
    n.xy += weight * value.real() * wx * wy;
    n.yy += weight * value.real() * wy * wy;
    // A phase has the variance (1 - g^2) / (2 g^2); the sum counts each value and its mirror image, which are one.
    n.info_x += information * wx * wx;
    n.info_y += information * wy * wy;
  });
  return n;
}

}  // namespace

ColourOffset colour_offset(const Spectrum& reference, const Spectrum& other, double reach) {
  const CrossSpectrum cross(reference, other);
  ColourOffset result;
  result.offset = coarse_offset(cross, reach);
  for (int step = 0; step < 12; ++step) {
    const Normal n = equations(cross, result.offset);
    const double determinant = n.xx * n.yy - n.xy * n.xy;
    if (!(determinant > 0.0) || !(n.info_x > 0.0) || !(n.info_y > 0.0)) return result;
    const PixelOffset move = {std::clamp((n.yy * n.gx - n.xy * n.gy) / determinant, -0.5, 0.5),
                              std::clamp((n.xx * n.gy - n.xy * n.gx) / determinant, -0.5, 0.5)};
    result.offset = result.offset + move;
    result.sigma = {1.0 / std::sqrt(n.info_x), 1.0 / std::sqrt(n.info_y)};
    if (move.length() < 1e-4) break;
  }
  result.found = std::abs(result.offset.x) <= reach && std::abs(result.offset.y) <= reach;
  return result;
}

}  // namespace halfarc
