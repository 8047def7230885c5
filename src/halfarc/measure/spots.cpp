#include "halfarc/measure/spots.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "halfarc/measure/aligned_mean.h"

namespace halfarc {
namespace {

constexpr std::size_t kBlocks = 5;
constexpr std::size_t kMostFrames = 60;
constexpr std::size_t kMostSpots = 8;
constexpr int kLargest = 1600;    // pixels: the side of the means
constexpr double kClear = 6.0;    // noises above its surroundings
constexpr double kWide = 3.5;     // blurs: the smoothing that stands for the surroundings
constexpr double kStudent = 2.0;  // variance of Student's distribution with four degrees of freedom

using Blocks = std::array<SamplePlane, kBlocks>;

// What is known of each cell: sum of value x weight, and weight.
struct Sums {
  Plane<float> value, weight;
};

Sums sums_of(const Blocks& blocks) {
  const int size = blocks[0].value.width();
  Sums sums{Plane<float>(size, size), Plane<float>(size, size)};
  for (const SamplePlane& block : blocks) {
    for (std::size_t i = 0; i < sums.value.count(); ++i) {
      sums.value.samples()[i] += block.value.samples()[i] * block.weight.samples()[i];
      sums.weight.samples()[i] += block.weight.samples()[i];
    }
  }
  return sums;
}

std::vector<float> bell(double sigma) {
  const int reach = static_cast<int>(std::ceil(3.0 * sigma));
  std::vector<float> taps;
  for (int i = -reach; i <= reach; ++i) taps.push_back(static_cast<float>(std::exp(-0.5 * i * i / (sigma * sigma))));
  return taps;
}

// Along rows into a turned plane, so that two calls go both ways.
Plane<float> smooth_rows(const Plane<float>& plane, const std::vector<float>& taps) {
  const int reach = static_cast<int>(taps.size() / 2), width = plane.width();
  Plane<float> out(plane.height(), width);
  for (int y = 0; y < plane.height(); ++y) {
    const float* row = plane.row(y);
    for (int x = 0; x < width; ++x) {
      float sum = 0.0F;
      for (int i = std::max(-reach, -x); i <= std::min(reach, width - 1 - x); ++i)
        sum += taps[static_cast<std::size_t>(i + reach)] * row[x + i];
      out(y, x) = sum;
    }
  }
  return out;
}

// The weighted mean about each cell, and nil where nothing is known.
Plane<float> smoothed(const Sums& sums, double sigma) {
  const auto taps = bell(sigma);
  const auto both = [&](const Plane<float>& plane) { return smooth_rows(smooth_rows(plane, taps), taps); };
  Plane<float> value = both(sums.value);
  const Plane<float> weight = both(sums.weight);
  for (std::size_t i = 0; i < value.count(); ++i) {
    const float w = weight.samples()[i];
    value.samples()[i] = w > 0.0F ? value.samples()[i] / w : 0.0F;
  }
  return value;
}

// Cells of the ring between the disc and the rim that every frame holds.
bool counts(const Sums& sums, int x, int y, PixelPoint centre, double nearest, float least_weight) {
  return sums.weight(x, y) > least_weight && std::hypot(x - centre.x, y - centre.y) > nearest;
}

// Local maxima that stand clear of the noise, the clearest first.
std::vector<PixelPoint> find_points(const Sums& sums, PixelPoint centre, const SpotsAsked& asked) {
  const Plane<float> narrow = smoothed(sums, asked.blur), wide = smoothed(sums, kWide * asked.blur);
  const int size = narrow.width(), apart = std::max(2, static_cast<int>(2.0 * asked.blur));
  const float most = *std::max_element(sums.weight.samples().begin(), sums.weight.samples().end());
  const float least = 0.1F * most;
  Plane<float> above(size, size);
  std::vector<float> sizes;
  for (int y = 0; y < size; ++y) {
    for (int x = 0; x < size; ++x) {
      if (!counts(sums, x, y, centre, asked.nearest, least)) continue;
      above(x, y) = narrow(x, y) - wide(x, y);
      sizes.push_back(std::abs(above(x, y)));
    }
  }
  if (sizes.empty()) return {};
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  const float bound = static_cast<float>(kClear * 1.4826) * *middle;  // of a normal distribution
  std::vector<std::pair<float, PixelPoint>> found;
  for (int y = apart; y + apart < size; ++y) {
    for (int x = apart; x + apart < size; ++x) {
      const float here = above(x, y);
      if (!(here > bound)) continue;
      bool highest = true;
      for (int v = -apart; v <= apart && highest; ++v)
        for (int u = -apart; u <= apart && highest; ++u) highest = !(above(x + u, y + v) > here);
      if (highest) found.push_back({here, {static_cast<double>(x), static_cast<double>(y)}});
    }
  }
  std::sort(found.begin(), found.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<PixelPoint> points;
  for (const auto& [height, point] : found)
    if (points.size() < kMostSpots) points.push_back(point);
  return points;
}

// The centre of light about a place through a round window as wide as the point, above the level around it.
struct Light {
  PixelPoint centre;
  double sum = 0.0;
};
Light centre_of_light(const SamplePlane& plane, PixelPoint start, double blur) {
  constexpr int kRounds = 8;
  const int reach = static_cast<int>(std::ceil(5.0 * blur));
  Light light{start, 0.0};
  for (int round = 0; round < kRounds; ++round) {
    const int cx = static_cast<int>(std::lround(light.centre.x)), cy = static_cast<int>(std::lround(light.centre.y));
    double around = 0.0, around_weight = 0.0, sum = 0.0, x_sum = 0.0, y_sum = 0.0, windows = 0.0;
    const auto each = [&](const auto& body) {
      for (int y = std::max(0, cy - reach); y <= std::min(plane.value.height() - 1, cy + reach); ++y) {
        for (int x = std::max(0, cx - reach); x <= std::min(plane.value.width() - 1, cx + reach); ++x) {
          const auto weight = static_cast<double>(plane.weight(x, y));
          if (!(weight > 0.0)) continue;
          const double px = x + static_cast<double>(plane.beside_x(x, y));
          const double py = y + static_cast<double>(plane.beside_y(x, y));
          body(px, py, std::hypot(px - light.centre.x, py - light.centre.y), static_cast<double>(plane.value(x, y)),
               weight);
        }
      }
    };
    each([&](double, double, double r, double value, double weight) {
      if (r < 3.5 * blur || r > 5.0 * blur) return;
      around += weight * value;
      around_weight += weight;
    });
    const double level = around_weight > 0.0 ? around / around_weight : 0.0;
    each([&](double x, double y, double r, double value, double weight) {
      if (r > 3.0 * blur) return;
      const double window = weight * std::exp(-0.5 * r * r / (blur * blur));
      sum += window * (value - level);
      x_sum += window * (value - level) * (x - light.centre.x);
      y_sum += window * (value - level) * (y - light.centre.y);
      windows += window;
    });
    if (!(sum > 0.0)) return light;
    // The window pulls half of the way for a point as wide as itself.
    const PixelOffset step{2.0 * x_sum / sum, 2.0 * y_sum / sum};
    light.sum = sum / windows;
    if (step.length() > blur) return light;
    light.centre = light.centre + step;
    if (step.length() < 1e-4) break;
  }
  return light;
}

}  // namespace

Result<std::vector<Spot>> spots_beside(const Recording& recording, const RecordingIndex& index,
                                       std::span<const std::size_t> frames, const SpotsAsked& asked) {
  const RecordingInfo& info = recording.info();
  const std::size_t step = std::max<std::size_t>(1, frames.size() / kMostFrames);
  std::vector<std::size_t> chosen;
  for (std::size_t i = 0; i < frames.size() && chosen.size() < kMostFrames; i += step) chosen.push_back(frames[i]);
  std::sort(chosen.begin(), chosen.end());
  if (chosen.size() < 2 * kBlocks) return std::vector<Spot>();
  const double farthest =
      std::max({asked.place.x, info.width - asked.place.x, asked.place.y, info.height - asked.place.y});
  const int size = std::min(kLargest, 2 * static_cast<int>(std::ceil(farthest)));
  Blocks blocks;
  PixelPoint centre;
  for (std::size_t b = 0; b < kBlocks; ++b) {
    const std::size_t begin = chosen.size() * b / kBlocks, end = chosen.size() * (b + 1) / kBlocks;
    HALFARC_TRY(AlignedMean mean, aligned_mean(recording, index, std::span(chosen).subspan(begin, end - begin), size));
    centre = mean.centroid;
    blocks[b] = std::move(mean.colours[1]);
  }
  const Sums sums = sums_of(blocks);
  std::vector<Spot> spots;
  for (const PixelPoint& point : find_points(sums, centre, asked)) {
    Spot spot;
    std::array<PixelOffset, kBlocks> places;
    for (std::size_t b = 0; b < kBlocks; ++b) {
      const Light light = centre_of_light(blocks[b], point, asked.blur);
      places[b] = light.centre - centre;
      spot.at = spot.at + places[b] * (1.0 / kBlocks);
      spot.light += light.sum / kBlocks;
    }
    double xx = 0.0, yy = 0.0;
    for (const PixelOffset& p : places) {
      xx += (p.x - spot.at.x) * (p.x - spot.at.x);
      yy += (p.y - spot.at.y) * (p.y - spot.at.y);
    }
    const double grown = kStudent / (kBlocks * (kBlocks - 1.0));
    spot.sigma = {std::sqrt(grown * xx), std::sqrt(grown * yy)};
    spots.push_back(spot);
  }
  return spots;
}

}  // namespace halfarc
