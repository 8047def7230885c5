#include "halfarc/restore/smear.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "halfarc/air/changing_air.h"

namespace halfarc {
namespace {

constexpr std::size_t kLeastPairs = 16;
constexpr double kUsualError = 0.08;  // of a place, pixels: what registration of a disc reaches; common practice
constexpr double kNoMemory = 0.7;     // intervals: below, neighbours lie as far apart as any two frames
constexpr double kShortest = 0.5, kLongest = 200.0, kStep = 1.06;  // lifetimes, intervals

struct Apart {
  double square = 0.0;  // mean square of both axes together, halved
  double pairs = 0.0;
};

std::vector<Apart> distances(std::span<const PlacedFrame> frames, std::size_t most_apart) {
  std::vector<Apart> apart(most_apart);
  for (std::size_t i = 0; i < frames.size(); ++i) {
    for (std::size_t j = i + 1; j < frames.size() && frames[j].number - frames[i].number <= most_apart; ++j) {
      if (frames[j].number == frames[i].number) continue;
      Apart& a = apart[frames[j].number - frames[i].number - 1];
      const PixelOffset moved = frames[j].shift - frames[i].shift;
      a.square += 0.5 * (moved.x * moved.x + moved.y * moved.y);
      a.pairs += 1.0;
    }
  }
  for (Apart& a : apart) a.square /= std::max(1.0, a.pairs);
  return apart;
}

}  // namespace

double smear_within_exposures(std::span<const PlacedFrame> frames, std::size_t most_apart, double exposure) {
  const std::vector<Apart> apart = distances(frames, most_apart);
  for (const Apart& a : apart) {
    if (a.pairs < static_cast<double>(kLeastPairs) || !(a.square > 0.0)) return 0.0;
  }
  // For each lifetime, motion of variance v and places of variance n: square(k) = 2 v (alike(0) - alike(k)) + 2 n, by
  // least squares of relative errors.
  constexpr double kUsualSquare = kUsualError * kUsualError;  // n, expected to within itself
  double best = 0.0, least = 1e300, lifetime = 0.0;
  std::vector<double> moved(apart.size());  // the square for v = 1
  for (double tau = kShortest; tau < kLongest; tau *= kStep) {
    const double of_one = exposures_alike(0.0, exposure / tau);
    double mm = 0.0, mn = 0.0, my = 0.0;
    double nn = std::pow(1.0 / kUsualSquare, 2), ny = kUsualSquare * nn;
    for (std::size_t k = 0; k < apart.size(); ++k) {
      moved[k] = 2.0 * (of_one - exposures_alike(static_cast<double>(k + 1) / tau, exposure / tau));
      const double weight = apart[k].pairs / std::pow(apart[k].square, 2);
      mm += weight * moved[k] * moved[k];
      mn += weight * moved[k] * 2.0;
      nn += weight * 4.0;
      my += weight * moved[k] * apart[k].square;
      ny += weight * 2.0 * apart[k].square;
    }
    const double determinant = mm * nn - mn * mn;
    double v = determinant > 0.0 ? (my * nn - ny * mn) / determinant : 0.0;
    double n = determinant > 0.0 ? (ny * mm - my * mn) / determinant : 0.0;
    if (n < 0.0) {
      n = 0.0;
      v = my / mm;
    } else if (v < 0.0) {
      v = 0.0;
      n = ny / nn;
    }
    double left = std::pow(n / kUsualSquare - 1.0, 2);
    for (std::size_t k = 0; k < apart.size(); ++k) {
      left += apart[k].pairs * std::pow((v * moved[k] + 2.0 * n) / apart[k].square - 1.0, 2);
    }
    if (left < least) {
      least = left;
      best = v * (1.0 - of_one);
      lifetime = tau;
    }
  }
  if (lifetime < kNoMemory) return 0.0;
  return std::sqrt(std::max(0.0, best));
}

}  // namespace halfarc
