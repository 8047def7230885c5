#include "halfarc/measure/focus_series.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <set>

#include "halfarc/measure/defocus_contrast.h"
#include "halfarc/optics/focus_depth.h"

namespace halfarc {
namespace {

constexpr std::size_t kFewestClips = 4;
constexpr std::size_t kFewestTrusted = 5;  // positions
constexpr double kModel = 0.04;            // of the model itself, in the logarithm of amplitude
constexpr double kLeastContrast = 0.06;    // and as a share of the amplitude at best focus: emptied rings tell little
constexpr double kAlignedShare = 0.9;      // of image motion, see measure/blurred_star.h
constexpr double kUsualAir = 7.0, kAirSpread = 2.5;  // S of a 200 mm aperture in 2" seeing, and from clip to clip
constexpr double kWavesShare = 0.06;    // of waves a turn: the frames left out, see measure/focus_spectrum.h
constexpr std::size_t kShownRings = 7;  // the coarser half, for the contrast of each clip

// ln |H| of every ring against waves, and its slope.
class Wear {
 public:
  explicit Wear(double obstruction) {
    for (std::size_t b = 0; b < kFocusRings; ++b) {
      for (std::size_t i = 0; i < kSteps; ++i)
        table_[b][i] = defocus_contrast(obstruction, ring_share(b), kStep * static_cast<double>(i));
    }
  }
  struct Value {
    double log, slope;
  };
  Value at(std::size_t ring, double waves) const {
    const double place = std::min(std::abs(waves) / kStep, static_cast<double>(kSteps) - 1.001);
    const auto i = static_cast<std::size_t>(place);
    const double part = place - static_cast<double>(i);
    const auto& t = table_[ring];
    const double h = t[i] * (1.0 - part) + t[i + 1] * part;
    const double square = h * h + kFloor * kFloor;
    const double slope = h * (t[i + 1] - t[i]) / kStep / square;
    return {0.5 * std::log(square) - std::log(t[0]), waves < 0.0 ? -slope : slope};
  }

 private:
  static constexpr std::size_t kSteps = 200;
  static constexpr double kStep = 0.04;
  static constexpr double kFloor = 0.003;
  std::array<std::array<double, kSteps>, kFocusRings> table_{};
};

// The unknowns: x0, ln k, backlash, then the air of each clip, then the target's rings.
constexpr Eigen::Index kBest = 0, kLogWaves = 1, kBacklash = 2, kAir = 3;

struct Problem {
  std::vector<FocusClip> clips;
  const Wear& wear;
  double log_waves = 0.0, log_waves_sigma = 0.0;  // what is known of k
  bool both_sides = false;

  Eigen::Index rings() const { return kAir + static_cast<Eigen::Index>(clips.size()); }
  Eigen::Index unknowns() const { return rings() + static_cast<Eigen::Index>(kFocusRings); }
};

double air_slope(std::size_t ring) {
  const double share = ring_share(ring);
  return -3.44 * std::pow(share, 5.0 / 3.0) * (1.0 - kAlignedShare * std::cbrt(share));
}

double waves_of(const Eigen::VectorXd& at, const FocusClip& clip) {
  const double late = clip.approach == Approach::clockwise ? at[kBacklash] : 0.0;
  return std::exp(at[kLogWaves]) * (clip.position - at[kBest] - late);
}

struct State {
  Eigen::VectorXd at;
  double unlikely = 0.0;  // -2 ln likelihood
  Eigen::MatrixXd square;
  Eigen::VectorXd pull;
};

// Likelihood, and the equations of the next step. What each ring counts depends on how far defocus has emptied it: that
// is taken as it is at `weighed`, for a step may not gain by looking away.
State state_at(const Problem& p, const Eigen::VectorXd& at, const Eigen::VectorXd& weighed) {
  State s{at, 0.0, Eigen::MatrixXd::Zero(p.unknowns(), p.unknowns()), Eigen::VectorXd::Zero(p.unknowns())};
  const double waves_per_turn = std::exp(at[kLogWaves]);
  for (std::size_t i = 0; i < p.clips.size(); ++i) {
    const FocusClip& clip = p.clips[i];
    const double waves = waves_of(at, clip);
    const double usual_waves = waves_of(weighed, clip);
    const auto air = kAir + static_cast<Eigen::Index>(i);
    for (std::size_t b = 0; b < kFocusRings; ++b) {
      const double noise = clip.spectrum.sigma[b];
      if (!std::isfinite(noise)) continue;
      const auto wear = p.wear.at(b, waves);
      const auto ring = p.rings() + static_cast<Eigen::Index>(b);
      const double variance = noise * noise + kModel * kModel +
                              kLeastContrast * kLeastContrast * std::exp(-2.0 * p.wear.at(b, usual_waves).log);
      const double left = clip.spectrum.amplitude[b] - at[ring] - wear.log - at[air] * air_slope(b);
      s.unlikely += left * left / variance + std::log(variance);
      const double shift = -waves_per_turn * wear.slope;
      const std::pair<Eigen::Index, double> row[] = {{kBest, shift},
                                                     {kLogWaves, wear.slope * waves},
                                                     {kBacklash, clip.approach == Approach::clockwise ? shift : 0.0},
                                                     {air, air_slope(b)},
                                                     {ring, 1.0}};
      for (const auto& [j, slope] : row) {
        s.pull[j] += slope * left / variance;
        for (const auto& [k, other] : row) s.square(j, k) += slope * other / variance;
      }
    }
  }
  const auto know = [&](Eigen::Index j, double value, double sigma) {
    s.unlikely += std::pow((at[j] - value) / sigma, 2);
    s.square(j, j) += 1.0 / (sigma * sigma);
    s.pull[j] += (value - at[j]) / (sigma * sigma);
  };
  know(kLogWaves, p.log_waves, p.log_waves_sigma);
  know(kBacklash, 0.0, p.both_sides ? 1.0 : 1e-6);
  for (std::size_t i = 0; i < p.clips.size(); ++i) know(kAir + static_cast<Eigen::Index>(i), kUsualAir, kAirSpread);
  for (std::size_t b = 0; b < kFocusRings; ++b) know(p.rings() + static_cast<Eigen::Index>(b), 0.0, 100.0);
  return s;
}

// Air and target that suit a given focus: they enter linearly.
State with_linear_part(const Problem& p, Eigen::VectorXd at) {
  const State s = state_at(p, at, at);
  const Eigen::Index rest = p.unknowns() - kAir;
  at.tail(rest) += s.square.bottomRightCorner(rest, rest).ldlt().solve(s.pull.tail(rest));
  return state_at(p, at, at);
}

// One descent with the weights held.
State descend(const Problem& p, State s, const Eigen::VectorXd& weighed) {
  constexpr int kMostSteps = 30;
  double damping = 1e-3;
  for (int step = 0; step < kMostSteps; ++step) {
    bool better = false;
    double gain = 0.0;
    while (!better && damping < 1e8) {
      Eigen::MatrixXd damped = s.square;
      damped.diagonal() *= 1.0 + damping;
      State next = state_at(p, s.at + damped.ldlt().solve(s.pull), weighed);
      better = next.unlikely < s.unlikely;
      damping *= better ? 0.3 : 5.0;
      if (better) {
        gain = s.unlikely - next.unlikely;
        s = std::move(next);
      }
    }
    if (!better || gain < 1e-7) break;
  }
  return s;
}

State refine(const Problem& p, State s) {
  constexpr int kMostRounds = 12;
  for (int round = 0; round < kMostRounds; ++round) {
    const Eigen::VectorXd weighed = s.at;
    s = descend(p, state_at(p, weighed, weighed), weighed);
    if ((s.at - weighed).head<3>().norm() < 1e-5) break;
  }
  return state_at(p, s.at, s.at);
}

// From a grid of starts over the range of positions, of waves a turn and of slack, which delays clockwise arrivals.
State solve(const Problem& p) {
  double low = p.clips.front().position, high = low;
  for (const FocusClip& clip : p.clips) {
    low = std::min(low, clip.position);
    high = std::max(high, clip.position);
  }
  const double range = high - low;
  std::optional<State> best;
  const auto consider = [&](double place, double farthest, double late) {
    Eigen::VectorXd at = Eigen::VectorXd::Zero(p.unknowns());
    at[kBest] = place;
    at[kLogWaves] = std::log(farthest / (0.5 * range));
    at[kBacklash] = late;
    State s = with_linear_part(p, std::move(at));
    if (!best || s.unlikely < best->unlikely) best = std::move(s);
  };
  for (int i = 0; i <= 16; ++i) {
    for (const double farthest : {0.5, 1.0, 2.0, 3.5}) {  // waves at half the range
      for (int late = 0; late <= (p.both_sides ? 14 : 0); ++late)
        consider(low + range * i / 16.0, farthest, range * late / 12.0);
    }
  }
  return refine(p, std::move(*best));
}

// The jackknife's standard errors of the first unknowns. Leaving out a clip exaggerates what its own air did by
// 1 / (1 - its leverage) [MacKinnonWhite1985]; the leverages add up to the number of unknowns that all clips share: x0,
// k, the height of the target's spectrum, and backlash.
Eigen::Vector3d jackknife(const Problem& p, const State& all) {
  const auto n = static_cast<double>(p.clips.size());
  std::vector<Eigen::Vector3d> without;
  Eigen::Vector3d mean = Eigen::Vector3d::Zero();
  for (std::size_t i = 0; i < p.clips.size(); ++i) {
    Problem fewer = p;
    fewer.clips.erase(fewer.clips.begin() + static_cast<std::ptrdiff_t>(i));
    Eigen::VectorXd at(fewer.unknowns());
    const auto cut = kAir + static_cast<Eigen::Index>(i);
    at << all.at.head(cut), all.at.tail(all.at.size() - cut - 1);
    without.push_back(refine(fewer, with_linear_part(fewer, std::move(at))).at.head<3>());
    mean += without.back() / n;
  }
  const double shared = p.both_sides ? 4.0 : 3.0;
  const double factor = (n - 1.0) / n * std::max(0.3, 1.0 - shared / n);
  Eigen::Vector3d square = Eigen::Vector3d::Zero();
  for (const auto& w : without) square += (w - mean).cwiseAbs2() * factor;
  return square.cwiseSqrt();
}

std::vector<FocusSeries::Point> points_of(const Problem& p, const State& s) {
  const Eigen::MatrixXd covariance = s.square.ldlt().solve(Eigen::MatrixXd::Identity(p.unknowns(), p.unknowns()));
  std::vector<FocusSeries::Point> points;
  for (std::size_t i = 0; i < p.clips.size(); ++i) {
    const auto air = kAir + static_cast<Eigen::Index>(i);
    double sum = 0.0, weight = 0.0, slope = 0.0;
    for (std::size_t b = 0; b < kShownRings; ++b) {
      const double noise = p.clips[i].spectrum.sigma[b];
      if (!std::isfinite(noise)) continue;
      const double w = 1.0 / (noise * noise + kModel * kModel);
      const double left = p.clips[i].spectrum.amplitude[b] - s.at[p.rings() + static_cast<Eigen::Index>(b)];
      sum += w * (left - s.at[air] * air_slope(b));
      slope += w * air_slope(b);
      weight += w;
    }
    FocusSeries::Point point;
    point.defocus_waves = waves_of(s.at, p.clips[i]);
    point.air = s.at[air];
    if (weight > 0.0) {
      const double contrast = std::exp(sum / weight);
      const double of_air = slope / weight * std::sqrt(covariance(air, air));
      point.contrast = {contrast, contrast * std::sqrt(1.0 / weight + of_air * of_air)};
    }
    points.push_back(point);
  }
  return points;
}

std::vector<std::string> doubts_of(const Problem& p, const FocusSeries& series) {
  std::vector<std::string> doubts;
  std::set<double> positions, below, above;
  double nearest = 1e9, second = 1e9, farthest = 0.0;
  for (std::size_t i = 0; i < p.clips.size(); ++i) {
    const double waves = series.points[i].defocus_waves;
    positions.insert(p.clips[i].position);
    (waves < 0.0 ? below : above).insert(p.clips[i].position);
    second = std::min(second, std::max(nearest, std::abs(waves)));
    nearest = std::min(nearest, std::abs(waves));
    farthest = std::max(farthest, std::abs(waves));
  }
  if (positions.size() < kFewestTrusted)
    doubts.push_back("there are too few positions: take clips at five or more, best nine");
  if (below.size() < 2)
    doubts.push_back("nearly all clips lie on one side of focus: add two or more farther anticlockwise");
  if (above.size() < 2)
    doubts.push_back("nearly all clips lie on one side of focus: add two or more farther clockwise");
  if (farthest < 0.4) doubts.push_back("the clips differ too little in focus: add some farther out on both sides");
  if (second > 0.8 && nearest <= 1.0)
    doubts.push_back("the clips stand too far apart: add some close to best focus on both sides");
  if (nearest > 1.0) doubts.push_back("all clips are far out of focus: add some between them");

  double least = 1e9, most = -1e9, worn = 0.0;
  constexpr std::size_t kMiddle = 5;  // detail of a third of the cut-off
  for (std::size_t i = 0; i < p.clips.size(); ++i) {
    const double air = series.points[i].air * air_slope(kMiddle);
    least = std::min(least, air);
    most = std::max(most, air);
    worn = std::min(worn, p.wear.at(kMiddle, series.points[i].defocus_waves).log);
  }
  if (most - least > -worn)
    doubts.push_back("the air changed more than focus did: go farther out on both sides, or wait for steadier air");
  if (series.best.sigma * series.waves_per_turn.value > kEighthWave)
    doubts.push_back("best focus is not sure to an eighth of a wave: add clips on both sides of it");
  if (series.best.value < *positions.begin() || series.best.value > *positions.rbegin())
    doubts.push_back("best focus lies outside the positions tried");
  return doubts;
}

}  // namespace

Result<FocusSeries> fit_focus(std::span<const FocusClip> clips, const FocusKnowledge& knowledge) {
  std::set<double> positions;
  for (const FocusClip& clip : clips) positions.insert(clip.position);
  if (clips.size() < kFewestClips || positions.size() < 3)
    return bad_input("a through-focus series needs four clips or more, at three positions or more");
  const Wear wear(knowledge.obstruction);
  Problem problem{{clips.begin(), clips.end()}, wear};
  problem.log_waves = std::log(knowledge.waves_per_turn.value_or(2.0));
  problem.log_waves_sigma = knowledge.waves_per_turn ? 0.5 : 2.0;
  const auto arrived = [&](Approach side) {
    return std::any_of(clips.begin(), clips.end(), [side](const FocusClip& c) { return c.approach == side; });
  };
  problem.both_sides = arrived(Approach::clockwise) && arrived(Approach::counter_clockwise);

  std::size_t showing = 0;
  for (const FocusClip& clip : clips)
    showing += std::count_if(clip.spectrum.sigma.begin(), clip.spectrum.sigma.end(),
                             [](double s) { return std::isfinite(s); }) >= 3;
  if (showing < kFewestClips) return bad_input("too little detail shows in these clips to focus by");

  const State s = solve(problem);
  const Eigen::Vector3d sigma = jackknife(problem, s);
  FocusSeries series;
  series.best = {s.at[kBest], sigma[kBest]};
  const double waves = std::exp(s.at[kLogWaves]);
  series.waves_per_turn = {waves, waves * std::hypot(sigma[kLogWaves], kWavesShare)};
  if (problem.both_sides) series.backlash = {s.at[kBacklash], sigma[kBacklash]};
  series.points = points_of(problem, s);
  series.doubts = doubts_of(problem, series);
  return series;
}

}  // namespace halfarc
