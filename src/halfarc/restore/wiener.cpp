#include "halfarc/restore/wiener.h"

#include <algorithm>
#include <cmath>

namespace halfarc {
Plane<float> wiener_filter(View<const float> picture, const Transfer& blur, const std::vector<double>& snr,
                           const WienerOptions& options) {
  Spectrum s = spectrum_of(picture);
  const double longer = std::max(s.width, s.height);
  const auto trusted = [&](double f) {  // SNR / (1 + SNR), interpolated between rings
    if (snr.size() < 2) return 0.0;
    const double at = std::min(f * longer, static_cast<double>(snr.size() - 1));  // the corners belong to the last ring
    const std::size_t below = std::min(static_cast<std::size_t>(at), snr.size() - 2);
    const double part = at - static_cast<double>(below);
    const double low = snr[below] / (1.0 + snr[below]);
    const double high = snr[below + 1] / (1.0 + snr[below + 1]);
    return low + part * (high - low);
  };
  for (int ky = 0; ky < s.values.height(); ++ky) {
    for (int kx = 0; kx < s.values.width(); ++kx) {
      if (kx == 0 && ky == 0) continue;
      const double fx = s.fx(kx);
      const double fy = s.fy(ky);
      const double share = trusted(std::hypot(fx, fy));
      const double kept = std::max(blur(fx, fy), options.least_transfer);
      s.values(kx, ky) *= static_cast<float>(share * std::pow(kept, -options.strength));
    }
  }
  return picture_of(s);
}

Plane<float> passed_part(View<const float> picture, double cut_off) {
  Spectrum s = spectrum_of(picture);
  for (int ky = 0; ky < s.values.height(); ++ky) {
    for (int kx = 0; kx < s.values.width(); ++kx) {
      if (std::hypot(s.fx(kx), s.fy(ky)) > cut_off) s.values(kx, ky) = 0.0F;
    }
  }
  return picture_of(s);
}

}  // namespace halfarc
