#include "halfarc/advise/belief.h"

#include <Eigen/Dense>

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

}  // namespace halfarc
