#include "halfarc/app/screen_view.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <tuple>
#include <utility>

#include "halfarc/frames/image_writers.h"
#include "halfarc/frames/png_bytes.h"

namespace halfarc {
namespace {

constexpr int kLongestSide = 4096;

// One axis of the picture: for each of its samples two samples of the plane and the weight of the second.
struct Tap {
  int first = 0, second = 0;
  float weight = 0.0F;
};

std::vector<Tap> taps(int from, int to) {
  std::vector<Tap> all(static_cast<std::size_t>(to));
  for (int i = 0; i < to; ++i) {
    const double at = std::clamp((i + 0.5) * from / to - 0.5, 0.0, from - 1.0);
    const int first = static_cast<int>(at);
    const auto weight = static_cast<float>(at - first);
    // Without weight the next sample does not count at all: it may have no value.
    all[static_cast<std::size_t>(i)] = {first, weight > 0.0F ? std::min(first + 1, from - 1) : first, weight};
  }
  return all;
}

// Averages blocks of n x n pixels, so that a small picture is not made of single noisy pixels.
Plane<float> shrunk(const Plane<float>& plane, int n) {
  Plane<float> small(std::max(1, plane.width() / n), std::max(1, plane.height() / n));
  for (int y = 0; y < small.height(); ++y) {
    for (int x = 0; x < small.width(); ++x) {
      float sum = 0.0F;
      for (int v = 0; v < n; ++v) {
        for (int u = 0; u < n; ++u)
          sum += plane(std::min(x * n + u, plane.width() - 1), std::min(y * n + v, plane.height() - 1));
      }
      small(x, y) = sum / static_cast<float>(n * n);
    }
  }
  return small;
}

// Light to a sample of eight bits by a table: the curve is steep near black, so it has many entries.
class Curve {
 public:
  explicit Curve(const ScreenView& view)
      : black_(view.black), scale_(1.0F / std::max(view.white - view.black, 1e-12F)) {
    for (std::size_t i = 0; i < table_.size(); ++i) {
      const float light = static_cast<float>(i) / static_cast<float>(table_.size() - 1);
      const float shown = view.screen_curve ? halfarc::screen_curve(light) : light;
      table_[i] = static_cast<std::uint8_t>(std::lround(255.0F * std::clamp(shown, 0.0F, 1.0F)));
    }
  }
  std::uint8_t operator()(float value) const {
    const float light = (value - black_) * scale_;
    if (!(light > 0.0F)) return table_.front();  // NaN is sky
    return table_[static_cast<std::size_t>(std::min(light, 1.0F) * static_cast<float>(table_.size() - 1) + 0.5F)];
  }

 private:
  float black_, scale_;
  std::array<std::uint8_t, 16'384> table_{};
};

// Where a sample of the turned picture lies in the one that is not.
std::pair<int, int> turned_back(int x, int y, int width, int height, const ScreenView& view) {
  int u = x, v = y;
  if (view.turn == 90) std::tie(u, v) = std::pair(y, height - 1 - x);
  if (view.turn == 180) std::tie(u, v) = std::pair(width - 1 - x, height - 1 - y);
  if (view.turn == 270) std::tie(u, v) = std::pair(width - 1 - y, x);
  return {view.flip ? width - 1 - u : u, v};
}

}  // namespace

float level_below(const std::vector<Plane<float>>& planes, double share) {
  std::vector<float> values;
  for (const Plane<float>& plane : planes) {
    std::copy_if(plane.samples().begin(), plane.samples().end(), std::back_inserter(values),
                 [](float v) { return std::isfinite(v); });
  }
  if (values.empty()) return 0.0F;
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

Result<std::string> screen_view(const std::vector<Plane<float>>& planes, const ScreenView& view) {
  std::vector<Plane<float>> sources;
  const int shrink = std::max(1, static_cast<int>(std::lround(1.0 / std::min(1.0, view.zoom))));
  for (const Plane<float>& plane : planes) sources.push_back(shrink > 1 ? shrunk(plane, shrink) : plane.copy());
  const double zoom = view.zoom * shrink;
  const int width = static_cast<int>(std::lround(sources.front().width() * zoom));
  const int height = static_cast<int>(std::lround(sources.front().height() * zoom));
  if (std::max(width, height) > kLongestSide || std::min(width, height) < 1)
    return bad_input("the picture would be too large to show", std::to_string(width) + "x" + std::to_string(height),
                     "ask for a smaller zoom");
  const Curve curve(view);
  const std::vector<Tap> across = taps(sources.front().width(), width), down = taps(sources.front().height(), height);
  const bool on_side = view.turn == 90 || view.turn == 270;
  ScreenPicture picture;
  picture.width = on_side ? height : width;
  picture.height = on_side ? width : height;
  picture.channels = static_cast<int>(sources.size());
  picture.samples.reserve(static_cast<std::size_t>(width) * static_cast<std::size_t>(height) * sources.size());
  for (int y = 0; y < picture.height; ++y) {
    for (int x = 0; x < picture.width; ++x) {
      const auto [u, v] = turned_back(x, y, width, height, view);
      const Tap& a = across[static_cast<std::size_t>(u)];
      const Tap& d = down[static_cast<std::size_t>(v)];
      for (const Plane<float>& p : sources) {
        const float above = p(a.first, d.first) + a.weight * (p(a.second, d.first) - p(a.first, d.first));
        const float below = p(a.first, d.second) + a.weight * (p(a.second, d.second) - p(a.first, d.second));
        picture.samples.push_back(curve(above + d.weight * (below - above)));
      }
    }
  }
  return png_bytes(picture);
}

}  // namespace halfarc
