#include "halfarc/measure/blurred_disc.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace halfarc {
namespace {

constexpr int kNodes = 24;

struct Quadrature {  // Gauss-Legendre on [0, 1]
  std::array<double, kNodes> at{}, weight{};
};

Quadrature make_quadrature() {
  Quadrature q;
  for (int i = 0; i < kNodes; ++i) {
    double x = std::cos(3.14159265358979323846 * (i + 0.75) / (kNodes + 0.5));  // near the i-th root
    double slope = 1.0;
    for (int round = 0; round < 50; ++round) {
      double p0 = 1.0, p1 = x;
      for (int n = 2; n <= kNodes; ++n) {
        const double p2 = ((2.0 * n - 1.0) * x * p1 - (n - 1.0) * p0) / n;
        p0 = p1;
        p1 = p2;
      }
      slope = kNodes * (x * p1 - p0) / (x * x - 1.0);
      const double change = p1 / slope;
      x -= change;
      if (std::abs(change) < 1e-15) break;
    }
    q.at[static_cast<std::size_t>(i)] = 0.5 * (1.0 + x);
    q.weight[static_cast<std::size_t>(i)] = 1.0 / ((1.0 - x * x) * slope * slope);
  }
  return q;
}

// exp(-x) I0(x), x >= 0. Relative error below 2e-7.
double scaled_bessel_i0(double x) {
  if (x < 3.75) {
    const double t = x * x / 14.0625;
    const double series =
        1.0 + t * (3.5156229 + t * (3.0899424 + t * (1.2067492 + t * (0.2659732 + t * (0.0360768 + t * 0.0045813)))));
    return std::exp(-x) * series;
  }
  const double t = 3.75 / x;
  const double series =
      0.39894228 +
      t * (0.01328592 +
           t * (0.00225319 +
                t * (-0.00157565 +
                     t * (0.00916281 + t * (-0.02057706 + t * (0.02635537 + t * (-0.01647633 + t * 0.00392377)))))));
  return series / std::sqrt(x);
}

constexpr double kWings = 6.0;  // sigmas beyond which the blur is nothing

}  // namespace

BlurredDisc::BlurredDisc(double radius, double sigma) : radius_(radius), sigma_(sigma) {
  static const Quadrature quadrature = make_quadrature();
  step_ = std::min(0.2 * sigma, radius / 4.0 + 0.05 * sigma);
  reach_ = radius + kWings * sigma;
  const int count = static_cast<int>(std::ceil(reach_ / step_)) + 4;
  flat_.resize(static_cast<std::size_t>(count));
  domed_.resize(flat_.size());
  const double s2 = sigma * sigma;
  for (int i = 0; i < count; ++i) {
    const double r = i * step_;
    const double low = std::max(0.0, r - kWings * sigma), high = std::min(radius, r + kWings * sigma);
    if (!(low < high)) continue;
    double flat = 0.0, domed = 0.0;
    for (std::size_t n = 0; n < kNodes; ++n) {
      // rho = high - (high - low) t^2 takes the square root at the limb away.
      const double t = quadrature.at[n];
      const double rho = high - (high - low) * t * t;
      const double measure = 2.0 * (high - low) * t * quadrature.weight[n];
      const double kernel = rho / s2 * std::exp(-0.5 * (r - rho) * (r - rho) / s2) * scaled_bessel_i0(r * rho / s2);
      flat += measure * kernel;
      domed += measure * kernel * std::sqrt(std::max(0.0, 1.0 - rho * rho / (radius * radius)));
    }
    flat_[static_cast<std::size_t>(i)] = flat;
    domed_[static_cast<std::size_t>(i)] = domed;
  }
}

BlurredDisc::Value BlurredDisc::at(double r) const {
  Value v;
  if (!(r < reach_)) return v;
  // Central differences about the nearest node and a series from there; the table is even about r = 0.
  const auto node = static_cast<std::ptrdiff_t>(std::lround(r / step_));
  const double u = r / step_ - static_cast<double>(node);
  const auto last = static_cast<std::ptrdiff_t>(flat_.size()) - 1;
  const auto read = [&](const std::vector<double>& table, double& value, double& slope, double& bend) {
    const auto get = [&](std::ptrdiff_t i) { return table[static_cast<std::size_t>(std::min(std::abs(i), last))]; };
    const double m2 = get(node - 2), m1 = get(node - 1), c = get(node), p1 = get(node + 1), p2 = get(node + 2);
    const double d1 = (m2 - 8.0 * m1 + 8.0 * p1 - p2) / 12.0;
    const double d2 = (-m2 + 16.0 * m1 - 30.0 * c + 16.0 * p1 - p2) / 12.0;
    const double d3 = (-m2 + 2.0 * m1 - 2.0 * p1 + p2) / 2.0;
    const double d4 = m2 - 4.0 * m1 + 6.0 * c - 4.0 * p1 + p2;
    value = c + u * (d1 + u * (d2 / 2.0 + u * (d3 / 6.0 + u * d4 / 24.0)));
    slope = (d1 + u * (d2 + u * (d3 / 2.0 + u * d4 / 6.0))) / step_;
    bend = (d2 + u * (d3 + u * d4 / 2.0)) / (step_ * step_);
  };
  double flat_bend = 0.0, domed_bend = 0.0;
  read(flat_, v.flat, v.flat_r, flat_bend);
  read(domed_, v.domed, v.domed_r, domed_bend);
  const bool centre = r < 1e-3 * step_;  // B'/r tends to B'' at the centre
  v.flat_sigma = sigma_ * (flat_bend + (centre ? flat_bend : v.flat_r / r));
  v.domed_sigma = sigma_ * (domed_bend + (centre ? domed_bend : v.domed_r / r));
  v.flat_radius = -(r * v.flat_r + sigma_ * v.flat_sigma) / radius_;
  v.domed_radius = -(r * v.domed_r + sigma_ * v.domed_sigma) / radius_;
  return v;
}

}  // namespace halfarc
