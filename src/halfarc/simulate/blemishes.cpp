#include "halfarc/simulate/blemishes.h"

#include <algorithm>
#include <cmath>

namespace halfarc {

double Blemishes::light_kept(const std::vector<DustShadow>& dust, PixelPoint place) {
  double kept = 1.0;
  for (const DustShadow& shadow : dust) {
    const double radii = (place - shadow.place).length() / (0.5 * shadow.diameter_px);
    // Flat within, gone at 1.3 radii: the cone of the aperture seen through the grain.
    const double t = std::clamp((1.3 - radii) / 0.6, 0.0, 1.0);
    kept *= 1.0 - shadow.loss * t * t * (3.0 - 2.0 * t);
  }
  return kept;
}

Blemishes::Blemishes(const BlemishSpec& spec, int width, int height, Rng rng) {
  if (!spec.dust.empty()) {
    kept_ = Plane<float>(width, height);
    for (int y = 0; y < height; ++y) {
      for (int x = 0; x < width; ++x) {
        kept_(x, y) = static_cast<float>(light_kept(spec.dust, {static_cast<double>(x), static_cast<double>(y)}));
      }
    }
  }
  Rng hot = rng.child("hot");
  const auto count = hot.poisson(spec.hot_per_million * 1e-6 * width * height);
  for (std::int64_t i = 0; i < count; ++i) {
    const int x = static_cast<int>(hot.uniform() * width);
    const int y = static_cast<int>(hot.uniform() * height);
    hot_.push_back({x, y, static_cast<float>(-spec.hot_electrons * std::log(hot.uniform()))});
  }
}

void Blemishes::mark(View<float> electrons) const {
  if (!kept_.empty()) {
    for (int y = 0; y < electrons.height(); ++y) {
      float* row = electrons.row(y);
      const float* kept = kept_.row(y);
      for (int x = 0; x < electrons.width(); ++x) row[x] *= kept[x];
    }
  }
  for (const HotPixel& hot : hot_) electrons(hot.x, hot.y) += hot.electrons;
}

}  // namespace halfarc
