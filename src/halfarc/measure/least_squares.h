// Least squares over many samples: the normal equations of one step of Gauss and Newton, and a covariance that owns up
// to residuals that hang together.
//
// A fit that weighs each sample by its noise believes itself too much where the model is a little wrong over whole
// patches of the picture: a belt, a blur that is no Gaussian. The covariance H^-1 S H^-1, with S the sum of the outer
// products of what samples pull, needs no noise assumed [White1980]; with the pulls of a patch added up first, it needs
// no independence within patches either. Both are taken, and the first grows where the second is larger.
//
// All cores share the work; the answer does not depend on how many there are.
#pragma once

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <span>
#include <vector>

#include "halfarc/base/parallel.h"

namespace halfarc::least_squares {

template <int N>
using Vector = Eigen::Matrix<double, N, 1>;
template <int N>
using Matrix = Eigen::Matrix<double, N, N>;

template <int N>
struct Equations {
  Matrix<N> normal = Matrix<N>::Zero();
  Vector<N> right = Vector<N>::Zero();
  double cost = 0.0;  // sum of weighted squares
};

constexpr std::size_t kChunk = 1024;  // samples
constexpr int kBlock = 32;            // gradients that are multiplied at once

// `residual(sample, gradient)` returns value - model and sets the model's gradient by the N parameters. A sample has
// a `weight`.
template <int N, class Sample, class Residual>
Equations<N> equations(std::span<const Sample> samples, Threads threads, const Residual& residual) {
  const auto make = [&](std::size_t begin, std::size_t end) {
    Equations<N> part;
    Eigen::Matrix<double, N, kBlock> block;
    Vector<N> gradient;
    for (std::size_t from = begin; from < end; from += kBlock) {
      const std::size_t to = std::min(end, from + kBlock);
      block.setZero();
      for (std::size_t i = from; i < to; ++i) {
        const Sample& s = samples[i];
        const double off = residual(s, gradient);
        block.col(static_cast<Eigen::Index>(i - from)) = std::sqrt(s.weight) * gradient;
        part.right += s.weight * off * gradient;
        part.cost += s.weight * off * off;
      }
      part.normal.template selfadjointView<Eigen::Lower>().rankUpdate(block);
    }
    return part;
  };
  const auto join = [](Equations<N>& total, const Equations<N>& part) {
    total.normal += part.normal;
    total.right += part.right;
    total.cost += part.cost;
  };
  auto e = chunked_reduce<Equations<N>>(samples.size(), samples.size() / kChunk, threads, make, join);
  e.normal = e.normal.template selfadjointView<Eigen::Lower>();
  return e;
}

// What each sample pulls: weight x residual x gradient.
template <int N, class Sample, class Residual>
std::vector<Vector<N>> pulls(std::span<const Sample> samples, Threads threads, const Residual& residual) {
  std::vector<Vector<N>> out(samples.size());
  const std::size_t chunks = samples.size() / kChunk + 1;
  parallel_for(chunks, threads, [&](std::size_t c) {
    Vector<N> gradient;
    for (std::size_t i = samples.size() * c / chunks; i < samples.size() * (c + 1) / chunks; ++i) {
      const double off = residual(samples[i], gradient);
      out[i] = samples[i].weight * off * gradient;
    }
  });
  return out;
}

// The scatter S of the pulls, added up first over square patches of `patch` pixels; 1: each alone. A sample has its
// `column` and `row` in a picture `width` wide and `height` high.
template <int N, class Sample>
Matrix<N> scatter(std::span<const Sample> samples, const std::vector<Vector<N>>& pulls, int width, int height,
                  int patch) {
  Matrix<N> total = Matrix<N>::Zero();
  if (patch <= 1) {
    for (const Vector<N>& v : pulls) total.noalias() += v * v.transpose();
    return total;
  }
  const int columns = width / patch + 2, rows = height / patch + 2;
  // Patches laid in four ways, half a patch apart, so that the answer hardly depends on where they begin.
  constexpr int kLays = 4;
  for (int lay = 0; lay < kLays; ++lay) {
    const int ox = lay % 2 * (patch / 2), oy = lay / 2 * (patch / 2);
    std::vector<Vector<N>> sums(static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows), Vector<N>::Zero());
    for (std::size_t i = 0; i < pulls.size(); ++i) {
      const int cell = (samples[i].row + oy) / patch * columns + (samples[i].column + ox) / patch;
      sums[static_cast<std::size_t>(cell)] += pulls[i];
    }
    for (const Vector<N>& v : sums) total.noalias() += v * v.transpose();
  }
  return total / kLays;
}

// H^-1 S H^-1 with the S of samples alone, each parameter's error grown to that with the S of patches where it is
// larger. Parameters that were not fitted have no variance and stay as they are.
template <int N>
Matrix<N> covariance(const Matrix<N>& normal, const Matrix<N>& alone, const Matrix<N>& patches) {
  const Matrix<N> inverse = normal.ldlt().solve(Matrix<N>::Identity());
  const Matrix<N> single = inverse * alone * inverse, together = inverse * patches * inverse;
  Vector<N> growth = Vector<N>::Ones();
  for (int i = 0; i < N; ++i)
    if (single(i, i) > 0.0) growth[i] = std::sqrt(std::max(1.0, together(i, i) / single(i, i)));
  return growth.asDiagonal() * single * growth.asDiagonal();
}

}  // namespace halfarc::least_squares
