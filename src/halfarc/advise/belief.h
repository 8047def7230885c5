// Belief: what is known of a few numbers together: their most likely values and the covariance of the errors of these.
//
// The numbers are the present state of the telescope (its coma, say) and the responses that are being learned (what a
// turn of a screw does). A turn carries the state on, a reading corrects state and responses at once: the Kalman form
// of weighted least squares. The covariance is updated as (1 - K H) P (1 - K H)' + K R K', which rounding cannot make
// negative [BucyJoseph1968].
#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <vector>

namespace halfarc {

struct Belief {
  std::vector<double> mean;
  std::vector<double> covariance;  // n x n, row after row

  // Independent numbers, each with its standard error.
  static Belief of(std::span<const double> mean, std::span<const double> sigma);

  std::size_t size() const { return mean.size(); }
  double& between(std::size_t i, std::size_t j) { return covariance[i * size() + j]; }
  double between(std::size_t i, std::size_t j) const { return covariance[i * size() + j]; }
  double sigma(std::size_t i) const;
};

// mean <- F mean, covariance <- F P F'. `step` is F, n x n. Valid: sizes that fit. Accuracy: rounding.
// Source: [Kalman1960].
void carry(Belief& belief, std::span<const double> step);

// What is seen of the numbers is m values, whose slopes along the n numbers are `slopes` (m x n). `surprise` is what
// was read less what was expected at the mean, `noise` the reading's covariance (m x m). Returns the logarithm of how
// likely the reading was beforehand, for weighing one belief against another.
// Valid: noise positive definite; slopes good over the belief's width. Accuracy: exact for straight responses.
// Source: [Kalman1960], [BucyJoseph1968].
double learn(Belief& belief, std::span<const double> slopes, std::span<const double> surprise,
             std::span<const double> noise);

// The same for a response that is not straight: linearised again and again where the numbers come to lie, from `start`
// on. Returns, of the last round, what `learn` returns.
// Valid: responses nearly straight over the width that is left afterwards. Accuracy: that. Source: [BellCathey1993].
struct Expected {
  std::vector<double> values;  // m
  std::vector<double> slopes;  // m x n
};
using Response = std::function<Expected(std::span<const double>)>;
struct Bounds {
  double lowest, highest;
};
// One pair a number; none: no bounds. They hold for the places of linearising and for the outcome.
double learn_bent(Belief& belief, const Response& response, std::span<const Bounds> bounds,
                  std::span<const double> start, std::span<const double> reading, std::span<const double> noise);

}  // namespace halfarc
