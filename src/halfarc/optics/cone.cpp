#include "halfarc/optics/cone.h"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

namespace halfarc {
namespace {

// Where the terms of the fit stand: W r^n cos or sin, in units of the pupil's radius.
enum Term { kPiston, kTiltX, kTiltY, kDefocus, kSpherical, kComaX, kComaY, kAstigmatism, kAstigmatism45, kTerms };
using Terms = Eigen::Matrix<double, kTerms, 1>;

Terms terms_at(double x, double y) {
  const double square = x * x + y * y;
  Terms t;
  t << 1.0, x, y, square, square * square, square * x, square * y, x * x - y * y, 2.0 * x * y;
  return t;
}

struct PupilRay {
  double x;
  double y;
  double weight;  // all weights sum to 1
  Ray ray;        // behind the last face
};

struct Node {
  double place;
  double weight;
};

// Gauss-Legendre nodes on [-1, 1] [Abramowitz1964] 25.4.30.
constexpr std::array<Node, 6> kNodes = {{{-0.9324695142031521, 0.1713244923791704},
                                         {-0.6612093864662645, 0.3607615730481386},
                                         {-0.2386191860831969, 0.4679139345726910},
                                         {0.2386191860831969, 0.4679139345726910},
                                         {0.6612093864662645, 0.3607615730481386},
                                         {0.9324695142031521, 0.1713244923791704}}};
constexpr int kSpokes = 16;

// The ray from a place of the pupil to the focus, its optical path counted so that it is nil there. The telescope is
// free of coma, so a ray's sine is in proportion to its height in the pupil (Abbe).
Ray ray_from(double x, double y, const Cone& cone, BenchPoint focus) {
  const double per_radius = -0.5 / cone.focal_ratio;
  Direction along{per_radius * x, per_radius * y, 0.0};
  along.z = std::sqrt(1.0 - dot(along, along));
  return {focus, along, 1.0, {}};
}

std::optional<std::vector<PupilRay>> rays_through(const Cone& cone, BenchPoint focus, std::span<const FlatFace> faces) {
  const double inner = cone.obstruction * cone.obstruction;
  std::vector<PupilRay> rays;
  for (const Node& node : kNodes) {
    const double radius = std::sqrt(0.5 * ((1.0 + inner) + (1.0 - inner) * node.place));
    for (int spoke = 0; spoke < kSpokes; ++spoke) {
      const double angle = 2.0 * std::numbers::pi * (spoke + 0.5) / kSpokes;
      const double x = radius * std::cos(angle);
      const double y = radius * std::sin(angle);
      const auto behind = trace(ray_from(x, y, cone, focus), faces);
      if (!behind) return std::nullopt;
      rays.push_back({x, y, 0.5 * node.weight / kSpokes, *behind});
    }
  }
  return rays;
}

// Waves of path about `focus`, ray by ray.
std::vector<double> waves_about(BenchPoint focus, const std::vector<PupilRay>& rays, Length wavelength) {
  std::vector<double> waves;
  for (const PupilRay& r : rays) waves.push_back(carried_nearest(r.ray, focus).optical_path / wavelength);
  return waves;
}

// Weighted least squares of the first `count` terms.
Terms fitted(const std::vector<PupilRay>& rays, const std::vector<double>& waves, int count) {
  Eigen::MatrixXd normal = Eigen::MatrixXd::Zero(count, count);
  Eigen::VectorXd right = Eigen::VectorXd::Zero(count);
  for (std::size_t i = 0; i < rays.size(); ++i) {
    const Eigen::VectorXd t = terms_at(rays[i].x, rays[i].y).head(count);
    normal += rays[i].weight * t * t.transpose();
    right += rays[i].weight * waves[i] * t;
  }
  Terms all = Terms::Zero();
  all.head(count) = normal.ldlt().solve(right);
  return all;
}

constexpr int kAdjustable = 4;  // piston, tilts and defocus: what focusing and centring take out

// Moves the focus by the tilts and the defocus of the wavefront about it: W r^2 is 8 N^2 W along the axis.
void refocus(BenchPoint& focus, const Terms& fit, const Cone& cone, Length wavelength) {
  const double n = cone.focal_ratio;
  focus.x += 2.0 * n * fit[kTiltX] * wavelength;
  focus.y += 2.0 * n * fit[kTiltY] * wavelength;
  focus.z += 8.0 * n * n * fit[kDefocus] * wavelength;
}

Wavefront named(const Terms& fit, Length wavelength) {
  return {.defocus = fit[kDefocus],
          .spherical = fit[kSpherical],
          .coma_x = fit[kComaX],
          .coma_y = fit[kComaY],
          .astigmatism = fit[kAstigmatism],
          .astigmatism_45 = fit[kAstigmatism45],
          .wavelength = wavelength};
}

Length spot_radius(BenchPoint focus, const std::vector<PupilRay>& rays) {
  double x = 0.0, y = 0.0, square = 0.0;
  for (const PupilRay& r : rays) {
    const BenchPoint at = carried_to(r.ray, focus.z).at;
    const double dx = (at.x - focus.x).m();
    const double dy = (at.y - focus.y).m();
    x += r.weight * dx;
    y += r.weight * dy;
    square += r.weight * (dx * dx + dy * dy);
  }
  return Length::m(std::sqrt(std::max(0.0, square - x * x - y * y)));
}

}  // namespace

std::optional<ConeImage> image_through(const Cone& cone, BenchPoint focus, std::span<const FlatFace> faces,
                                       Length wavelength) {
  const auto rays = rays_through(cone, focus, faces);
  if (!rays) return std::nullopt;
  for (int round = 0; round < 5; ++round) {
    refocus(focus, fitted(*rays, waves_about(focus, *rays, wavelength), kAdjustable), cone, wavelength);
  }
  const auto waves = waves_about(focus, *rays, wavelength);
  const Terms adjusted = fitted(*rays, waves, kAdjustable);
  double square = 0.0;
  std::complex<double> peak = 0.0;
  for (std::size_t i = 0; i < rays->size(); ++i) {
    const PupilRay& r = (*rays)[i];
    const double left = waves[i] - adjusted.dot(terms_at(r.x, r.y));
    square += r.weight * left * left;
    peak += r.weight * std::polar(1.0, 2.0 * std::numbers::pi * left);
  }
  return ConeImage{focus, named(fitted(*rays, waves, kTerms), wavelength), std::sqrt(square), std::norm(peak),
                   spot_radius(focus, *rays)};
}

}  // namespace halfarc
