#include "halfarc/restore/scene_mask.h"

#include <algorithm>
#include <vector>

#include "halfarc/restore/smooth.h"

namespace halfarc {
namespace {

constexpr double kSmooth = 2.0;         // pixels, before looking for the edge
constexpr double kFillsPicture = 0.85;  // share of the border that is bright when there is no sky to be seen

float level(std::vector<float>& values, double quantile) {
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(quantile * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

// The samples of the outermost ring of `width` pixels.
std::vector<float> border(View<const float> p, int width) {
  std::vector<float> values;
  for (int y = 0; y < p.height(); ++y) {
    for (int x = 0; x < p.width(); ++x) {
      if (std::min({x, y, p.width() - 1 - x, p.height() - 1 - y}) < width) values.push_back(p(x, y));
    }
  }
  return values;
}

}  // namespace

MaskedScene scene_mask(View<const float> picture, double edge) {
  const Plane<float> smooth = gaussian_smooth(picture, kSmooth);
  std::vector<float> all(smooth.samples().begin(), smooth.samples().end());
  std::vector<float> rim = border(smooth, 4);
  const float bright = level(all, 0.98);
  const float dark = level(rim, 0.30);
  const float threshold = dark + 0.25F * (bright - dark);
  const auto bright_rim = std::count_if(rim.begin(), rim.end(), [&](float v) { return v > 0.5F * bright; });

  MaskedScene scene;
  const bool fills = static_cast<double>(bright_rim) > kFillsPicture * static_cast<double>(rim.size());
  scene.sky = fills ? 0.0F : dark;
  Plane<float> inside(picture.width(), picture.height());
  double covered = 0.0;
  for (int y = 0; y < picture.height(); ++y) {
    for (int x = 0; x < picture.width(); ++x) {
      const int to_border = std::min({x, y, picture.width() - 1 - x, picture.height() - 1 - y});
      const bool in = (fills || smooth(x, y) > threshold) && to_border >= 2;
      inside(x, y) = in ? 1.0F : 0.0F;
      covered += in ? 1.0 : 0.0;
    }
  }
  scene.filled = covered / static_cast<double>(inside.count());
  scene.mask = gaussian_smooth(inside, 0.5 * edge);
  for (float& v : scene.mask.samples()) {
    const float t = std::clamp(2.0F * v - 1.0F, 0.0F, 1.0F);  // zero on the edge itself
    v = t * t * (3.0F - 2.0F * t);
  }
  return scene;
}

}  // namespace halfarc
