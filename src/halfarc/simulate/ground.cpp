#include "halfarc/simulate/ground.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include "halfarc/simulate/craters.h"
#include "halfarc/simulate/relief.h"

namespace halfarc {
namespace {

constexpr double kHighlands = 0.0011;  // radii: how high they rise, about 2 km on a globe of 1737 km
constexpr double kLargestCrater = 0.09;
constexpr float kNowhere = -4.0F;  // nearer than this nothing of the globe is

double step(double a, double b, double x) {
  const double t = std::clamp((x - a) / (b - a), 0.0, 1.0);
  return t * t * (3.0 - 2.0 * t);
}

// The ground on a grid of cells that reaches beyond the frame by a margin.
class Landscape {
 public:
  Landscape(const BodySpec& body, const SceneFrame& frame, int oversample, Threads threads)
      : globe_(body),
        cells_a_radius_(frame.scale.pixels(body.equatorial_diameter) / 2.0 * oversample),
        margin_x_(frame.width * oversample / 6),
        margin_y_(frame.height * oversample / 6),
        height_(frame.width * oversample + 2 * margin_x_, frame.height * oversample + 2 * margin_y_),
        nearness_(height_.width(), height_.height()),
        brightness_(height_.width(), height_.height()),
        sun_radius_(std::max(1e-5, body.sun_radius.rad())),
        seed_(body.surface_seed) {
    const double cell = 0.5 * (oversample - 1);
    left_ = -cell - (centre_of(frame.width) + frame.scale.pixels(body.centre.x)) * oversample - margin_x_;
    top_ = -cell - (centre_of(frame.height) + frame.scale.pixels(body.centre.y)) * oversample - margin_y_;
    rows(threads, [this](int y) { raise_row(y); });
    rows(threads, [this](int y) { fill_row(y); });
    dig_craters();
    rows(threads, [this](int y) { note_nearness(y); });
    highest_ = 0.0;
    for (const float h : height_.samples()) highest_ = std::max(highest_, static_cast<double>(h));
  }

  // The light of a cell of the frame, times the reflectance of its ground.
  double light(int frame_x, int frame_y) const {
    const int x = frame_x + margin_x_;
    const int y = frame_y + margin_y_;
    if (nearness_(x, y) <= kNowhere) return 0.0;
    const auto z = [&](int i, int j) {
      return static_cast<double>(
          nearness_(std::clamp(i, 0, height_.width() - 1), std::clamp(j, 0, height_.height() - 1)));
    };
    if (z(x - 1, y) <= -1.0 || z(x + 1, y) <= -1.0 || z(x, y - 1) <= -1.0 || z(x, y + 1) <= -1.0) return 0.0;
    const double slope_x = 0.5 * (z(x + 1, y) - z(x - 1, y)) * cells_a_radius_;
    const double slope_y = 0.5 * (z(x, y - 1) - z(x, y + 1)) * cells_a_radius_;  // upwards
    const double length = std::sqrt(1.0 + slope_x * slope_x + slope_y * slope_y);
    const Vector3 sun = globe_.sun();
    const double to_us = 1.0 / length;
    const double to_sun = (sun.z - slope_x * sun.x - slope_y * sun.y) / length;
    if (to_sun <= 0.0) return 0.0;
    const double lommel_seeliger = 2.0 * to_sun / (to_sun + to_us);
    return static_cast<double>(brightness_(x, y)) * lommel_seeliger * sun_seen(x, y);
  }

 private:
  template <class Row>
  void rows(Threads threads, Row row) {
    parallel_for(static_cast<std::size_t>(height_.height()), threads, [&](std::size_t y) { row(static_cast<int>(y)); });
  }

  // The place of the smooth globe behind a cell, in the body's own axes, x and y on the image in radii.
  double x_at(double column) const { return (column + left_) / cells_a_radius_; }
  double y_at(double row) const { return (row + top_) / cells_a_radius_; }
  std::optional<Vector3> own_place(double column, double row) const {
    const auto point = globe_.at(x_at(column), y_at(row));
    if (!point) return std::nullopt;
    return Vector3{cos(point->latitude) * cos(point->longitude), cos(point->latitude) * sin(point->longitude),
                   sin(point->latitude)};
  }

  // Heights and shades at every second cell of every second row; craters bring the finer detail.
  void raise_row(int y) {
    for (int x = 0; x < height_.width(); ++x) {
      const auto place = own_place(x, y);
      nearness_(x, y) = place ? 0.0F : kNowhere;
      if (!place || ((x | y) & 1) != 0) continue;
      const Terrain terrain = terrain_at(*place, 0.25 * cells_a_radius_, seed_);
      const double mottle = relief(*place, {18.0, 0.6, std::min(600.0, 0.5 * cells_a_radius_)}, seed_ + 5);
      height_(x, y) = static_cast<float>(terrain.height);
      brightness_(x, y) = static_cast<float>((0.52 - 0.24 * terrain.plain) * (1.0 + 0.07 * mottle));
    }
  }

  // The cells between, from their two or four neighbours that are on the globe.
  void fill_row(int y) {
    for (int x = 0; x < height_.width(); ++x) {
      if (((x | y) & 1) == 0 || nearness_(x, y) <= kNowhere) continue;
      float height = 0.0F;
      float brightness = 0.0F;
      float count = 0.0F;
      for (int j = y - (y & 1); j <= y + (y & 1); j += 2) {
        for (int i = x - (x & 1); i <= x + (x & 1); i += 2) {
          if (i >= height_.width() || j >= height_.height() || nearness_(i, j) <= kNowhere) continue;
          height += height_(i, j);
          brightness += brightness_(i, j);
          count += 1.0F;
        }
      }
      height_(x, y) = height / std::max(1.0F, count);
      brightness_(x, y) = brightness / std::max(1.0F, count);
    }
  }

  void dig_craters() {
    const auto places = [this](double spacing) {
      std::vector<Vector3> found;
      const double stride = std::max(1.0, spacing * cells_a_radius_);
      for (double y = 0.0; y < height_.height() - 1 + stride; y += stride) {
        for (double x = 0.0; x < height_.width() - 1 + stride; x += stride) {
          if (const auto p = own_place(x, y)) found.push_back(*p);
        }
      }
      return found;
    };
    const double finest = 0.5 * cells_a_radius_;
    const auto kept = [&](Vector3 p) { return 0.60 - 0.48 * terrain_at(p, std::min(finest, 40.0), seed_).plain; };
    for (const Crater& c : craters_near(places, 4.0 / cells_a_radius_, kLargestCrater, kept, seed_)) dig(c);
  }

  void dig(const Crater& crater) {
    const auto [x_radii, y_radii, z] = globe_.seen(crater.centre);
    if (z < 0.05) return;
    const double column = x_radii * cells_a_radius_ - left_;
    const double row = y_radii * cells_a_radius_ - top_;
    const double reach = kCraterReach * crater.radius * cells_a_radius_;
    const int x0 = std::max(0, static_cast<int>(column - reach));
    const int x1 = std::min(height_.width() - 1, static_cast<int>(column + reach) + 1);
    const int y0 = std::max(0, static_cast<int>(row - reach));
    const int y1 = std::min(height_.height() - 1, static_cast<int>(row + reach) + 1);
    // A fresh small one has thrown bright dust about.
    const double dust = crater.freshness > 0.93 && crater.radius < kSimpleDiameter ? 0.35 : 0.0;
    for (int y = y0; y <= y1; ++y) {
      for (int x = x0; x <= x1; ++x) {
        if (nearness_(x, y) <= kNowhere) continue;
        const double dx = x_at(x) - x_radii;
        const double dy = y_at(y) - y_radii;
        const double here = 1.0 - x_at(x) * x_at(x) - y_at(y) * y_at(y);
        if (here <= 0.0) continue;
        const double dz = std::sqrt(here) - z;
        const double distance = std::sqrt(dx * dx + dy * dy + dz * dz) / crater.radius;
        if (distance >= kCraterReach) continue;
        // What was there before is buried under floor and rim.
        const double buried = crater.freshness * (1.0 - step(0.8, 1.6, distance));
        const double level = static_cast<double>(height_(x, y)) * (1.0 - buried);
        height_(x, y) = static_cast<float>(level + crater_height(crater, distance));
        if (dust > 0.0) brightness_(x, y) *= static_cast<float>(1.0 + dust * std::exp(-distance * distance));
      }
    }
  }

  void note_nearness(int y) {
    for (int x = 0; x < height_.width(); ++x) {
      if (nearness_(x, y) <= kNowhere) continue;
      const double r = 1.0 + static_cast<double>(height_(x, y));
      const double rest = r * r - x_at(x) * x_at(x) - y_at(y) * y_at(y);
      nearness_(x, y) = rest > 0.0 ? static_cast<float>(std::sqrt(rest)) : kNowhere;
    }
  }

  double nearness_between(double x, double y) const {
    const int i = static_cast<int>(x);
    const int j = static_cast<int>(y);
    const double a = x - i;
    const double b = y - j;
    const auto z = [&](int c, int r) { return static_cast<double>(nearness_(c, r)); };
    return (1.0 - b) * ((1.0 - a) * z(i, j) + a * z(i + 1, j)) + b * ((1.0 - a) * z(i, j + 1) + a * z(i + 1, j + 1));
  }

  // The share of the Sun's disc above the ground as seen from a cell: 0 in the shadow, 1 in full light.
  double sun_seen(int x, int y) const {
    const Vector3 sun = globe_.sun();
    const double across = std::hypot(sun.x, sun.y);
    if (across < 1e-6) return 1.0;
    const Vector3 start{x_at(x), -y_at(y), static_cast<double>(nearness_(x, y))};
    const double top = (1.0 + highest_) * (1.0 + highest_);
    double least = sun_radius_;
    for (double cells = 1.0;; cells += std::max(1.0, 0.03 * cells)) {
      const double way = cells / (across * cells_a_radius_);
      const double column = x + cells * sun.x / across;
      const double row = y - cells * sun.y / across;
      if (column < 0.0 || row < 0.0 || column >= height_.width() - 1 || row >= height_.height() - 1) break;
      const Vector3 ray = start + sun * way;
      if (dot(ray, ray) > top) break;
      // How far above the ground: towards us, times how upright the ground stands towards us.
      const double above = (ray.z - nearness_between(column, row)) * std::max(0.05, ray.z);
      least = std::min(least, above / way);
      if (least <= -sun_radius_) return 0.0;
    }
    return step(-sun_radius_, sun_radius_, least);
  }

  Globe globe_;
  double cells_a_radius_;
  int margin_x_;
  int margin_y_;
  Plane<float> height_;      // radii above the mean sphere
  Plane<float> nearness_;    // of the ground, towards us from the globe's centre, in radii
  Plane<float> brightness_;  // reflectance
  double sun_radius_;
  std::uint64_t seed_;
  double left_ = 0.0;  // column of the grid's first cell, counted from the body's centre
  double top_ = 0.0;
  double highest_ = 0.0;
};

}  // namespace

Terrain terrain_at(Vector3 place, double finest, std::uint64_t seed) {
  const double rough = relief(place, {7.0, 0.56, finest}, seed);
  const double basin = relief(place, {1.6, 0.5, std::min(finest, 60.0)}, seed + 11);
  const double plain = step(-0.02, 0.2, basin + 0.05 * rough);
  const double highland = kHighlands * (0.5 + 0.9 * rough);
  const double level = kHighlands * (-0.3 + 0.04 * rough);
  return {highland + plain * (level - highland), plain};
}

void draw_ground(const BodySpec& body, Scene& scene, Threads threads) {
  // A scene's cells are four times finer than the telescope can show; the ground need not be.
  const int block = scene.oversample >= 4 && scene.oversample % 2 == 0 ? 2 : 1;
  const Landscape landscape(body, scene.frame, scene.oversample / block, threads);
  constexpr std::array<float, 3> tint{1.04F, 1.0F, 0.93F};
  parallel_for(static_cast<std::size_t>(scene.cells[0].height() / block), threads, [&](std::size_t row) {
    const int y = static_cast<int>(row);
    for (int x = 0; x < scene.cells[0].width() / block; ++x) {
      const auto light = static_cast<float>(landscape.light(x, y));
      for (std::size_t c = 0; c < 3; ++c) {
        for (int j = 0; j < block; ++j) {
          for (int i = 0; i < block; ++i) scene.cells[c](x * block + i, y * block + j) = tint[c] * light;
        }
      }
    }
  });
}

}  // namespace halfarc
