#include "halfarc/measure/ring_shape.h"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

namespace halfarc {
namespace {

using std::numbers::pi;

constexpr std::size_t kSectors = 24;
constexpr std::size_t kFewestSectors = 18;  // that must show both edges
constexpr std::size_t kStretches = 10;
constexpr std::size_t kFewestFrames = 40;

struct Circle {
  double x = 0.0, y = 0.0, radius = 0.0;
};

struct Edges {
  Circle outer, inner;
  double hole_x() const { return (inner.x - outer.x) / (2.0 * outer.radius); }
  double hole_y() const { return (inner.y - outer.y) / (2.0 * outer.radius); }
};

// The median of the samples farthest out.
double sky_of(const SamplePlane& plane, double cx, double cy) {
  std::vector<std::pair<double, float>> samples;
  for (int y = 0; y < plane.value.height(); ++y) {
    for (int x = 0; x < plane.value.width(); ++x) {
      if (plane.weight(x, y) > 0.0F) samples.emplace_back(-std::hypot(x - cx, y - cy), plane.value(x, y));
    }
  }
  const auto far = samples.begin() + static_cast<std::ptrdiff_t>(samples.size() / 20);
  std::nth_element(samples.begin(), far, samples.end());
  const auto middle = samples.begin() + (far - samples.begin()) / 2;
  std::nth_element(samples.begin(), middle, far, [](const auto& l, const auto& r) { return l.second < r.second; });
  return samples.empty() ? 0.0 : static_cast<double>(middle->second);
}

// Brightness above the sky by whole pixels of distance, in every sector about a centre; gaps are filled
// from within, and the middle from without.
using Profile = std::vector<double>;
std::array<Profile, kSectors> profiles(const SamplePlane& plane, double cx, double cy) {
  const int size = plane.value.width();
  const double sky = sky_of(plane, cx, cy);
  const auto reach = static_cast<std::size_t>(size / 2);
  std::array<Profile, kSectors> sums, counts;
  for (std::size_t s = 0; s < kSectors; ++s) {
    sums[s].assign(reach, 0.0);
    counts[s].assign(reach, 0.0);
  }
  for (int y = 0; y < size; ++y) {
    for (int x = 0; x < size; ++x) {
      if (!(plane.weight(x, y) > 0.0F)) continue;
      const auto r = static_cast<std::size_t>(std::hypot(x - cx, y - cy));
      const double turn = std::atan2(y - cy, x - cx) / (2.0 * pi) + 0.5;
      if (r >= reach) continue;
      const auto s = static_cast<std::size_t>(turn * kSectors) % kSectors;
      sums[s][r] += static_cast<double>(plane.value(x, y)) - sky;
      counts[s][r] += 1.0;
    }
  }
  for (std::size_t s = 0; s < kSectors; ++s) {
    const auto first = std::find_if(counts[s].begin(), counts[s].end(), [](double c) { return c > 0.0; });
    if (first == counts[s].end()) continue;
    const auto start = static_cast<std::size_t>(first - counts[s].begin());
    double last = sums[s][start] / counts[s][start];
    for (std::size_t r = 0; r < reach; ++r) {
      if (counts[s][r] > 0.0) last = sums[s][r] / counts[s][r];
      sums[s][r] = last;
    }
  }
  return sums;
}

// Where a profile crosses a level between r and r + 1, whose values are at the middles of their bins.
double crossing(const Profile& p, std::size_t r, double level) {
  const double step = p[r + 1] - p[r];
  return static_cast<double>(r) + 0.5 + (step != 0.0 ? (level - p[r]) / step : 0.5);
}

struct EdgePair {
  double outer, inner;
};
std::optional<EdgePair> edges_of(const Profile& p) {
  const auto top = static_cast<std::size_t>(std::max_element(p.begin(), p.end()) - p.begin());
  const double highest = p[top];
  if (!(highest > 0.0) || top < 2 || top + 2 >= p.size()) return std::nullopt;
  std::size_t out = p.size() - 2;
  while (out > top && p[out] < 0.5 * highest) --out;
  const double hole = *std::min_element(p.begin(), p.begin() + static_cast<std::ptrdiff_t>(top));
  const double level = 0.5 * (highest + hole);
  std::size_t in = 0;
  while (in + 1 < top && p[in + 1] < level) ++in;
  if (in == 0) return std::nullopt;
  return EdgePair{crossing(p, out, 0.5 * highest), crossing(p, in, level)};
}

struct Point {
  double x, y;
};

// The circle through points about (cx, cy): x^2 + y^2 = 2 a x + 2 b y + c, by least squares.
std::optional<Circle> circle_through(const std::vector<Point>& points, double cx, double cy) {
  if (points.size() < kFewestSectors) return std::nullopt;
  Eigen::Matrix3d square = Eigen::Matrix3d::Zero();
  Eigen::Vector3d pull = Eigen::Vector3d::Zero();
  for (const Point& p : points) {
    const Eigen::Vector3d row(2.0 * p.x, 2.0 * p.y, 1.0);
    square += row * row.transpose();
    pull += (p.x * p.x + p.y * p.y) * row;
  }
  const Eigen::Vector3d c = square.ldlt().solve(pull);
  const double radius2 = c[2] + c[0] * c[0] + c[1] * c[1];
  return radius2 > 1.0 ? std::optional(Circle{cx + c[0], cy + c[1], std::sqrt(radius2)}) : std::nullopt;
}

// Both circles; the second look is from the middle of the outer circle that the first has found.
std::optional<Edges> edges_in(const AlignedMean& mean) {
  double cx = mean.centroid.x, cy = mean.centroid.y;
  std::optional<Edges> found;
  for (int look = 0; look < 2; ++look) {
    std::vector<Point> outer, inner;
    const auto all = profiles(mean.green(), cx, cy);
    for (std::size_t s = 0; s < kSectors; ++s) {
      const auto pair = edges_of(all[s]);
      if (!pair) continue;
      const double turn = 2.0 * pi * ((static_cast<double>(s) + 0.5) / kSectors - 0.5);
      outer.push_back({pair->outer * std::cos(turn), pair->outer * std::sin(turn)});
      inner.push_back({pair->inner * std::cos(turn), pair->inner * std::sin(turn)});
    }
    const auto out = circle_through(outer, cx, cy), in = circle_through(inner, cx, cy);
    if (!out || !in || in->radius > out->radius) return std::nullopt;
    found = Edges{*out, *in};
    cx = out->x;
    cy = out->y;
  }
  return found;
}

}  // namespace

Result<std::optional<RingShape>> ring_shape(const Recording& recording, const RecordingIndex& index) {
  std::vector<std::size_t> frames;
  for (std::size_t i = 0; i < index.frames.size(); ++i) {
    if (index.frames[i].found) frames.push_back(i);
  }
  if (frames.size() < kFewestFrames) return std::optional<RingShape>();
  const int size = size_for(index, 512);
  HALFARC_TRY(const AlignedMean all, aligned_mean(recording, index, frames, size));
  const auto whole = edges_in(all);
  if (!whole) return std::optional<RingShape>();

  std::vector<Eigen::Vector4d> parts;
  Eigen::Vector4d middle = Eigen::Vector4d::Zero();
  for (std::size_t k = 0; k < kStretches; ++k) {
    const std::size_t from = frames.size() * k / kStretches, to = frames.size() * (k + 1) / kStretches;
    HALFARC_TRY(const AlignedMean mean,
                aligned_mean(recording, index, std::span(frames).subspan(from, to - from), size));
    const auto part = edges_in(mean);
    if (!part) continue;
    parts.push_back({2.0 * part->outer.radius, 2.0 * part->inner.radius, part->hole_x(), part->hole_y()});
    middle += parts.back();
  }
  if (parts.size() < kStretches / 2) return std::optional<RingShape>();
  const auto n = static_cast<double>(parts.size());
  middle /= n;
  Eigen::Vector4d square = Eigen::Vector4d::Zero();
  for (const auto& part : parts) square += (part - middle).cwiseAbs2() / (n * (n - 1.0));
  const Eigen::Vector4d sigma = square.cwiseSqrt();
  return std::optional(RingShape{{2.0 * whole->outer.radius, sigma[0]},
                                 {2.0 * whole->inner.radius, sigma[1]},
                                 {whole->hole_x(), sigma[2]},
                                 {whole->hole_y(), sigma[3]}});
}

}  // namespace halfarc
