#include "halfarc/restore/smooth.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "halfarc/restore/mirror.h"

namespace halfarc {

Plane<float> gaussian_smooth(View<const float> picture, double sigma) {
  const int reach = std::max(1, static_cast<int>(std::ceil(4.0 * sigma)));
  std::vector<float> kernel;
  double total = 0.0;
  for (int k = -reach; k <= reach; ++k) total += std::exp(-0.5 * k * k / (sigma * sigma));
  for (int k = -reach; k <= reach; ++k)
    kernel.push_back(static_cast<float>(std::exp(-0.5 * k * k / (sigma * sigma)) / total));

  const int w = picture.width();
  const int h = picture.height();
  Plane<float> across(w, h);
  std::vector<float> padded(static_cast<std::size_t>(w + 2 * reach));
  for (int y = 0; y < h; ++y) {
    for (int x = -reach; x < w + reach; ++x) padded[static_cast<std::size_t>(x + reach)] = picture(mirrored(x, w), y);
    float* to = across.row(y);
    for (std::size_t k = 0; k < kernel.size(); ++k) {
      for (int x = 0; x < w; ++x) to[x] += kernel[k] * padded[static_cast<std::size_t>(x) + k];
    }
  }
  Plane<float> out(w, h);
  for (int y = 0; y < h; ++y) {
    float* to = out.row(y);
    for (int k = -reach; k <= reach; ++k) {
      const float* from = across.row(mirrored(y + k, h));
      const float share = kernel[static_cast<std::size_t>(k + reach)];
      for (int x = 0; x < w; ++x) to[x] += share * from[x];
    }
  }
  return out;
}

Plane<float> fine_detail(View<const float> picture, double sigma) {
  Plane<float> out = gaussian_smooth(picture, sigma);
  for (int y = 0; y < out.height(); ++y) {
    for (int x = 0; x < out.width(); ++x) out(x, y) = picture(x, y) - out(x, y);
  }
  return out;
}

}  // namespace halfarc
