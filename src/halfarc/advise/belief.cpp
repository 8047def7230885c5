#include "halfarc/advise/belief.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace halfarc {
namespace {

using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
using Rows = Eigen::Map<const Matrix>;
using Column = Eigen::Map<const Eigen::VectorXd>;

Eigen::Index index(std::size_t n) { return static_cast<Eigen::Index>(n); }

Eigen::Map<Matrix> covariance_of(Belief& belief) {
  return {belief.covariance.data(), index(belief.size()), index(belief.size())};
}
Eigen::Map<Eigen::VectorXd> mean_of(Belief& belief) { return {belief.mean.data(), index(belief.size())}; }

// Numbers beyond a bound are held there, and the others move as they hang together with them: the most likely place
// within the bounds, or near it.
void hold(Belief& belief, std::span<const Bounds> bounds) {
  const auto p = covariance_of(belief);
  const Eigen::VectorXd free = mean_of(belief);
  auto mean = mean_of(belief);
  std::vector<Eigen::Index> held;
  for (std::size_t round = 0; round < bounds.size(); ++round) {
    bool more = false;
    for (std::size_t i = 0; i < bounds.size(); ++i) {
      const bool inside = belief.mean[i] >= bounds[i].lowest && belief.mean[i] <= bounds[i].highest;
      if (inside || std::find(held.begin(), held.end(), index(i)) != held.end()) continue;
      held.push_back(index(i));
      more = true;
    }
    if (!more) return;
    Eigen::VectorXd beyond(index(held.size()));
    for (std::size_t k = 0; k < held.size(); ++k) {
      const auto i = static_cast<std::size_t>(held[k]);
      beyond[index(k)] = free[held[k]] - std::clamp(free[held[k]], bounds[i].lowest, bounds[i].highest);
    }
    const Matrix among = p(held, held), all = p(Eigen::all, held);
    mean = free - all * among.ldlt().solve(beyond);
    for (const Eigen::Index i : held)
      mean[i] =
          std::clamp(mean[i], bounds[static_cast<std::size_t>(i)].lowest, bounds[static_cast<std::size_t>(i)].highest);
  }
}

}  // namespace

Belief Belief::of(std::span<const double> mean, std::span<const double> sigma) {
  Belief belief;
  belief.mean.assign(mean.begin(), mean.end());
  belief.covariance.assign(mean.size() * mean.size(), 0.0);
  for (std::size_t i = 0; i < mean.size(); ++i) belief.between(i, i) = sigma[i] * sigma[i];
  return belief;
}

double Belief::sigma(std::size_t i) const { return std::sqrt(between(i, i)); }

void carry(Belief& belief, std::span<const double> step) {
  const Rows f(step.data(), index(belief.size()), index(belief.size()));
  auto p = covariance_of(belief);
  auto mean = mean_of(belief);
  mean = (f * mean).eval();
  p = (f * p * f.transpose()).eval();
}

double learn(Belief& belief, std::span<const double> slopes, std::span<const double> surprise,
             std::span<const double> noise) {
  const Eigen::Index n = index(belief.size()), m = index(surprise.size());
  const Rows h(slopes.data(), m, n), r(noise.data(), m, m);
  const Column seen(surprise.data(), m);
  auto p = covariance_of(belief);
  auto mean = mean_of(belief);
  const Matrix expected = h * p * h.transpose() + r;
  const Eigen::LLT<Matrix> root(expected);
  const Matrix gain = root.solve(h * p).transpose();
  const double distance = seen.dot(root.solve(seen));
  const double log_volume = 2.0 * Matrix(root.matrixL()).diagonal().array().log().sum();
  mean += gain * seen;
  const Matrix left = Matrix::Identity(n, n) - gain * h;
  p = (left * p * left.transpose() + gain * r * gain.transpose()).eval();
  return -0.5 * (distance + log_volume + static_cast<double>(m) * std::log(2.0 * std::numbers::pi));
}

double learn_bent(Belief& belief, const Response& response, std::span<const Bounds> bounds,
                  std::span<const double> start, std::span<const double> reading, std::span<const double> noise) {
  constexpr int rounds = 20;
  const Belief before = belief;
  std::vector<double> at(start.begin(), start.end());
  double told = 0.0;
  for (int round = 0; round < rounds; ++round) {
    const Expected expected = response(at);
    std::vector<double> surprise(reading.begin(), reading.end());
    for (std::size_t k = 0; k < surprise.size(); ++k) {
      surprise[k] -= expected.values[k];
      for (std::size_t i = 0; i < at.size(); ++i)
        surprise[k] -= expected.slopes[k * at.size() + i] * (before.mean[i] - at[i]);
    }
    belief = before;
    told = learn(belief, expected.slopes, surprise, noise);
    hold(belief, bounds);
    // Half of the way: where the response bends back a whole step may run to and fro.
    for (std::size_t i = 0; i < at.size(); ++i) at[i] = 0.5 * (at[i] + belief.mean[i]);
  }
  return told;
}

}  // namespace halfarc
