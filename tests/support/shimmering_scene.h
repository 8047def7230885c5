// A scene of soft spots, known everywhere, whose parts are moved against each other by smooth waves of known size.
#pragma once

#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <vector>

#include "halfarc/base/pixel.h"
#include "halfarc/base/random.h"
#include "halfarc/frames/plane.h"

namespace halfarc::testing {

constexpr int kSceneSize = 240;  // pixels, each way

struct Spot {
  double x, y, light;
};

inline std::vector<Spot> spots(std::uint64_t seed) {
  Rng rng(seed);
  std::vector<Spot> result;
  for (int i = 0; i < 500; ++i) {
    result.push_back({rng.uniform(-20.0, kSceneSize + 20.0), rng.uniform(-20.0, kSceneSize + 20.0), rng.uniform(-40.0, 40.0)});
  }
  return result;
}

// Of rms_px on each axis.
struct Waves {
  std::array<double, 8> fx{}, fy{}, phase_x{}, phase_y{};
  double rms = 0.0;

  Waves(Rng rng, double rms_px, double length_px) : rms(rms_px) {
    for (std::size_t i = 0; i < fx.size(); ++i) {
      const double turn = rng.uniform(0.0, 2.0 * std::numbers::pi);
      const double k = 2.0 * std::numbers::pi / (length_px * rng.uniform(0.7, 1.5));
      fx[i] = k * std::cos(turn);
      fy[i] = k * std::sin(turn);
      phase_x[i] = rng.uniform(0.0, 2.0 * std::numbers::pi);
      phase_y[i] = rng.uniform(0.0, 2.0 * std::numbers::pi);
    }
  }
  PixelOffset at(double x, double y) const {
    PixelOffset sum;
    for (std::size_t i = 0; i < fx.size(); ++i) {
      const double turn = fx[i] * x + fy[i] * y;
      sum = sum + PixelOffset{std::sin(turn + phase_x[i]), std::sin(turn + phase_y[i])} * (rms * std::sqrt(2.0 / 8.0));
    }
    return sum;
  }
};

// The scene with spots of `width`, each carried to where the waves have it, on a grey ground; noise of `noise`.
inline Plane<float> frame_of(const std::vector<Spot>& scene, const Waves& waves, double width, double noise, Rng rng) {
  Plane<float> frame(kSceneSize, kSceneSize);
  for (int y = 0; y < kSceneSize; ++y) {
    for (int x = 0; x < kSceneSize; ++x) frame(x, y) = static_cast<float>(200.0 + noise * rng.normal());
  }
  for (const Spot& s : scene) {
    const PixelOffset moved = waves.at(s.x, s.y);
    const double cx = s.x + moved.x, cy = s.y + moved.y;
    const int reach = static_cast<int>(4.0 * width);
    for (int y = std::max(0, static_cast<int>(cy) - reach); y < std::min(kSceneSize, static_cast<int>(cy) + reach); ++y) {
      for (int x = std::max(0, static_cast<int>(cx) - reach); x < std::min(kSceneSize, static_cast<int>(cx) + reach); ++x) {
        const double r2 = (x - cx) * (x - cx) + (y - cy) * (y - cy);
        frame(x, y) += static_cast<float>(s.light * 16.0 / (width * width) * std::exp(-0.5 * r2 / (width * width)));
      }
    }
  }
  return frame;
}

}  // namespace halfarc::testing
