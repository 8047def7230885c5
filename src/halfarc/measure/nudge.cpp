#include "halfarc/measure/nudge.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <vector>

#include "halfarc/measure/series.h"

namespace halfarc {
namespace {

constexpr std::size_t kFewest = 40;
constexpr int kGrid = 48;         // places tried for the ends of the ramp
constexpr double kLongest = 0.5;  // of the clip

struct Track {
  std::vector<double> t, x, y;
};

Track track_of(const RecordingIndex& index, std::span<const double> times) {
  Track track;
  for (std::size_t i = 0; i < index.frames.size() && i < times.size(); ++i) {
    if (!index.frames[i].found) continue;
    track.t.push_back(times[i]);
    track.x.push_back(index.frames[i].centroid.x);
    track.y.push_back(index.frames[i].centroid.y);
  }
  return track;
}

// A ramp on a drifting level: value = a + b t + d ramp(t).
struct RampFit {
  Eigen::Vector3d x, y;
  double cost = 1e300;
};

double ramp(double t, double from, double to) { return std::clamp((t - from) / (to - from), 0.0, 1.0); }

Eigen::Vector3d row(double t, double from, double to) { return {1.0, t, ramp(t, from, to)}; }

Eigen::Matrix3d normal_of(const Track& track, double from, double to) {
  Eigen::Matrix3d n = Eigen::Matrix3d::Zero();
  for (const double t : track.t) n += row(t, from, to) * row(t, from, to).transpose();
  return n;
}

RampFit fit(const Track& track, double from, double to) {
  const Eigen::Matrix3d n = normal_of(track, from, to);
  Eigen::Vector3d rx = Eigen::Vector3d::Zero(), ry = rx;
  double squares = 0.0;
  for (std::size_t i = 0; i < track.t.size(); ++i) {
    const Eigen::Vector3d r = row(track.t[i], from, to);
    rx += r * track.x[i];
    ry += r * track.y[i];
    squares += track.x[i] * track.x[i] + track.y[i] * track.y[i];
  }
  const auto solver = n.ldlt();
  RampFit f{solver.solve(rx), solver.solve(ry), 0.0};
  f.cost = squares - f.x.dot(rx) - f.y.dot(ry);
  return f;
}

// The standard error of the ramp's height along one axis.
double height_sigma(const Track& track, const std::vector<double>& values, const Eigen::Vector3d& p, double from,
                    double to) {
  const Eigen::Vector3d weight = normal_of(track, from, to).ldlt().solve(Eigen::Vector3d(0.0, 0.0, 1.0));
  std::vector<double> pulls(values.size());
  for (std::size_t i = 0; i < values.size(); ++i) {
    const Eigen::Vector3d r = row(track.t[i], from, to);
    pulls[i] = weight.dot(r) * (values[i] - r.dot(p));
  }
  return std::sqrt(error_square(pulls));
}

}  // namespace

std::optional<KeyMotion> find_nudge(const RecordingIndex& index, std::span<const double> times) {
  Track track = track_of(index, times);
  if (track.t.size() < kFewest) return std::nullopt;
  const double begin = track.t.front(), span = track.t.back() - begin;
  if (!(span > 0.0)) return std::nullopt;
  // About the middle, so that the sums stay small.
  const double x0 = track.x.front(), y0 = track.y.front();
  for (std::size_t i = 0; i < track.t.size(); ++i) {
    track.t[i] = (track.t[i] - begin) / span;
    track.x[i] -= x0;
    track.y[i] -= y0;
  }
  double from = 0.0, to = 0.0;
  RampFit best;
  for (int i = 1; i < kGrid; ++i) {
    for (int k = i + 1; k < kGrid && k - i <= kLongest * kGrid; ++k) {
      const double a = static_cast<double>(i) / kGrid, b = static_cast<double>(k) / kGrid;
      const RampFit f = fit(track, a, b);
      if (f.cost < best.cost) {
        best = f;
        from = a;
        to = b;
      }
    }
  }
  KeyMotion nudge;
  nudge.x = {best.x[2], height_sigma(track, track.x, best.x, from, to)};
  nudge.y = {best.y[2], height_sigma(track, track.y, best.y, from, to)};
  const PixelOffset by{nudge.x.value, nudge.y.value};
  const double length = by.length();
  if (length < 3.0 || length < 6.0 * std::hypot(nudge.x.sigma, nudge.y.sigma)) return std::nullopt;
  const double aside = std::hypot(by.y * nudge.x.sigma, by.x * nudge.y.sigma) / length;
  nudge.direction = {direction_of(by), Angle::rad(aside / length)};
  nudge.begins = Duration::s(from * span);
  nudge.lasts = Duration::s((to - from) * span);
  return nudge;
}

}  // namespace halfarc
