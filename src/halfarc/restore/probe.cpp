#include "halfarc/restore/probe.h"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "halfarc/restore/smooth.h"

namespace halfarc {
namespace {

constexpr double kSmoothing = 1.2;        // pixels: takes the noise off the reference's gradients
constexpr double kFaintest = 0.02;        // of the brightest: what the sky counts as, for noise
constexpr double kNoisiest = 400.0;       // times the variance of the best probe: more says nothing
constexpr std::size_t kAsked = 48;        // probes that tell a frame's response
constexpr std::size_t kRegressors = 5;    // shift along x and y; sharpness, light, sky
using Normal = Eigen::Matrix<double, kRegressors, kRegressors>;
using Terms = Eigen::Matrix<double, kRegressors, 1>;

float hann(int i, int size) {
  return static_cast<float>(0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * (i + 0.5) / size));
}

Terms terms_at(const Plane<float>& r, int x, int y, double level) {
  const auto at = [&](int i, int j) { return static_cast<double>(r(i, j)); };
  const double centre = at(x, y);
  return {-0.5 * (at(x + 1, y) - at(x - 1, y)), -0.5 * (at(x, y + 1) - at(x, y - 1)),
          at(x + 1, y) + at(x - 1, y) + at(x, y + 1) + at(x, y - 1) - 4.0 * centre, centre - level, 1.0};
}

// Both probes of the part whose template begins at (left, top).
std::array<Probe, 2> probes_of(const Plane<float>& reference, int left, int top, int side, double faintest) {
  double level = 0.0;
  for (int y = 0; y < side; ++y) {
    for (int x = 0; x < side; ++x) level += static_cast<double>(reference(left + x, top + y)) / (side * side);
  }
  Normal normal = Normal::Zero();
  double brightness = 0.0, weight = 0.0;
  for (int y = 0; y < side; ++y) {
    for (int x = 0; x < side; ++x) {
      const double w = static_cast<double>(hann(x, side) * hann(y, side));
      const Terms t = terms_at(reference, left + x, top + y, level);
      normal += w * t * t.transpose();
      brightness += w * static_cast<double>(reference(left + x, top + y));
      weight += w;
    }
  }
  // What the other terms explain is taken out of the gradients: a Schur complement.
  Eigen::Matrix3d others = normal.bottomRightCorner<3, 3>();
  others.diagonal() *= 1.0 + 1e-9;
  others.diagonal().array() += 1e-12;
  const Eigen::Matrix<double, 2, 3> explained =
      others.ldlt().solve(normal.bottomLeftCorner<3, 2>()).transpose();
  const Eigen::Matrix2d told = normal.topLeftCorner<2, 2>() - explained * normal.bottomLeftCorner<3, 2>();
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> axes(told);

  std::array<Probe, 2> probes;
  for (int k = 0; k < 2; ++k) {
    Probe& probe = probes[static_cast<std::size_t>(k)];
    const Eigen::Vector2d e = axes.eigenvectors().col(k);
    const double amount = axes.eigenvalues()[k];
    probe.place = {left + 0.5 * (side - 1), top + 0.5 * (side - 1)};
    probe.direction = {e.x(), e.y()};
    probe.left = left;
    probe.top = top;
    probe.weights = Plane<float>(side, side);
    if (!(amount > 0.0)) continue;  // noise 0 marks it as no probe
    double squares = 0.0;
    for (int y = 0; y < side; ++y) {
      for (int x = 0; x < side; ++x) {
        const Terms t = terms_at(reference, left + x, top + y, level);
        const double along = e.dot(t.head<2>() - explained * t.tail<3>());
        const double w = static_cast<double>(hann(x, side) * hann(y, side)) * along / amount;
        probe.weights(x, y) = static_cast<float>(w);
        squares += w * w;
      }
    }
    probe.noise = squares * std::max(brightness / weight, faintest);
  }
  return probes;
}

}  // namespace

std::vector<Probe> place_probes(View<const float> picture, int spacing, std::size_t most) {
  std::vector<Probe> probes;
  const int side = 2 * spacing;
  if (picture.width() < side + 2 || picture.height() < side + 2) return probes;
  const Plane<float> reference = gaussian_smooth(picture, kSmoothing);
  const auto samples = reference.samples();
  const double faintest = kFaintest * static_cast<double>(*std::max_element(samples.begin(), samples.end()));
  // The grid lies in the middle of the picture; a template and its neighbours for the slopes stay inside.
  const int across = (reference.width() - 2 - side) / spacing, down = (reference.height() - 2 - side) / spacing;
  const int left = (reference.width() - side - across * spacing) / 2;
  const int top = (reference.height() - side - down * spacing) / 2;
  for (int j = 0; j <= down; ++j) {
    for (int i = 0; i <= across; ++i) {
      for (Probe& probe : probes_of(reference, left + i * spacing, top + j * spacing, side, faintest)) {
        if (probe.noise > 0.0) probes.push_back(std::move(probe));
      }
    }
  }
  std::stable_sort(probes.begin(), probes.end(), [](const Probe& a, const Probe& b) { return a.noise < b.noise; });
  while (!probes.empty() && (probes.size() > most || probes.back().noise > kNoisiest * probes.front().noise)) {
    probes.pop_back();
  }
  return probes;
}

float reading(const Probe& probe, View<const float> frame, TemplateStep step) {
  const int side = probe.weights.width();
  const int left = std::clamp(probe.left + step.x, 0, frame.width() - side);
  const int top = std::clamp(probe.top + step.y, 0, frame.height() - side);
  float sum = 0.0F;
  for (int y = 0; y < side; ++y) {
    const float* weights = probe.weights.row(y);
    const float* samples = frame.row(top + y) + left;
    float row = 0.0F;
#pragma omp simd reduction(+ : row)
    for (int x = 0; x < side; ++x) row += weights[x] * samples[x];
    sum += row;
  }
  return sum;
}

float response(std::span<const Probe> probes, View<const float> frame, std::span<const TemplateStep> steps) {
  double sum = 0.0, weight = 0.0;
  for (std::size_t k = 0; k < std::min(kAsked, probes.size()); ++k) {
    const Probe& probe = probes[k];
    const TemplateStep at = steps.empty() ? TemplateStep{} : steps[k];
    const auto slope = [&](TemplateStep step) {
      const float before = reading(probe, frame, {at.x - step.x, at.y - step.y});
      return 0.5 * static_cast<double>(before - reading(probe, frame, {at.x + step.x, at.y + step.y}));
    };
    const double along = probe.direction.x * slope({1, 0}) + probe.direction.y * slope({0, 1});
    sum += along / probe.noise;
    weight += 1.0 / probe.noise;
  }
  return weight > 0.0 ? static_cast<float>(std::clamp(sum / weight, 0.3, 3.0)) : 1.0F;
}

double shared_noise(const Probe& a, const Probe& b) {
  const int left = std::max(a.left, b.left), right = std::min(a.left, b.left) + a.weights.width();
  const int top = std::max(a.top, b.top), bottom = std::min(a.top, b.top) + a.weights.height();
  double sum = 0.0, squares_a = 0.0, squares_b = 0.0;
  for (int y = top; y < bottom; ++y) {
    for (int x = left; x < right; ++x) {
      sum += static_cast<double>(a.weights(x - a.left, y - a.top) * b.weights(x - b.left, y - b.top));
    }
  }
  if (sum == 0.0) return 0.0;
  const auto squares = [](const Probe& probe) {
    double total = 0.0;
    for (const float w : probe.weights.samples()) total += static_cast<double>(w * w);
    return total;
  };
  squares_a = squares(a);
  squares_b = squares(b);
  return sum * std::sqrt(a.noise / squares_a * b.noise / squares_b);
}

}  // namespace halfarc
