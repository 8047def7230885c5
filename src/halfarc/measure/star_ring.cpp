#include "halfarc/measure/star_ring.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include "halfarc/frames/mosaic.h"
#include "halfarc/frames/stream.h"
#include "halfarc/measure/aligned_mean.h"
#include "halfarc/measure/blurred_star.h"
#include "halfarc/measure/series.h"

namespace halfarc {
namespace {

constexpr std::size_t kFewestFrames = 50;
constexpr double kShortestSpan = 1.0;  // s
constexpr double kLeastExplained = 0.7;
constexpr double kFarthestDefocus = 14.0;  // waves

// The terms of the star's picture, then what is linear in it.
constexpr std::size_t kLight = kStarTerms, kBackground = kStarTerms + 1, kTerms = kStarTerms + 2;
using Vector = Eigen::Matrix<double, kTerms, 1>;
using Matrix = Eigen::Matrix<double, kTerms, kTerms>;

// What is known beforehand: telescopes are corrected for spherical aberration, aligning removes most of the motion.
struct Prior {
  std::size_t term;
  double value, sigma;
};
constexpr Prior kPriors[] = {{kSpherical, 0.0, 0.2}, {kAligned, 0.9, 0.3}};
// Waves of defocus and spherical aberration that the mean air of the model mistakes for one another, from the scatter
// of simulated stars (tests/measure/star_ring_test.cpp); coma and astigmatism have no part in it.
constexpr double kModelError = 0.035;
// The share of coma by which the same model errs, on stars of up to 0.5 wave in 1.3 to 3.5" of seeing: near focus it
// reads up to 8 % too little, 2.5 waves out 2 to 6 %, for air that has been centred is rougher at the pupil's edge,
// where coma lives.
double coma_error(double defocus_waves) { return std::min(0.06, 0.1 / std::abs(defocus_waves)); }
// Samples of the mean that hang together, for the weight of a prior against them: speckles are some pixels across.
constexpr double kHangTogether = 30.0;

struct Fit {
  StarTerms terms{};
  double light = 0.0, background = 0.0;
  double cost = 0.0;      // sum of squares left over
  double variance = 0.0;  // of the mean's samples
  std::size_t samples = 0;
};

// The mean's green samples that count.
struct Target {
  const SamplePlane& plane;
  float least_weight;

  bool counts(std::size_t i) const { return plane.weight.samples()[i] > least_weight; }
  double value(std::size_t i) const { return static_cast<double>(plane.value.samples()[i]); }
};

// Light and background that suit a picture best, and what is then left over.
void fit_linear(const Target& target, const Plane<float>& picture, Fit& fit) {
  double n = 0.0, p = 0.0, v = 0.0, pp = 0.0, pv = 0.0, vv = 0.0;
  for (std::size_t i = 0; i < picture.count(); ++i) {
    if (!target.counts(i)) continue;
    const double model = static_cast<double>(picture.samples()[i]), value = target.value(i);
    n += 1.0;
    p += model;
    v += value;
    pp += model * model;
    pv += model * value;
    vv += value * value;
  }
  const double spread = pp - p * p / n;
  fit.light = spread > 0.0 ? (pv - p * v / n) / spread : 0.0;
  fit.background = (v - fit.light * p) / n;
  fit.variance = (vv - v * v / n) / n;
  fit.cost = n * fit.variance - fit.light * (pv - p * v / n);
  fit.samples = static_cast<std::size_t>(n);
}

struct Equations {
  Matrix square = Matrix::Zero();
  Vector pull = Vector::Zero();
};

double prior_weight(const Fit& fit, double sigma) {
  return kHangTogether * fit.cost / static_cast<double>(fit.samples) / (sigma * sigma);
}

// How sample i of the picture answers to each unknown.
Vector row_of(const Fit& fit, const Plane<float>& picture, const std::array<Plane<float>, kStarTerms>& slopes,
              std::size_t i) {
  Vector row;
  for (std::size_t t = 0; t < kStarTerms; ++t)
    row[static_cast<Eigen::Index>(t)] = fit.light * static_cast<double>(slopes[t].samples()[i]);
  row[kLight] = static_cast<double>(picture.samples()[i]);
  row[kBackground] = 1.0;
  return row;
}

Equations equations(const Target& target, const Fit& fit, const Plane<float>& picture,
                    const std::array<Plane<float>, kStarTerms>& slopes) {
  Equations e;
  for (std::size_t i = 0; i < picture.count(); ++i) {
    if (!target.counts(i)) continue;
    const Vector row = row_of(fit, picture, slopes, i);
    const double left = target.value(i) - fit.light * row[kLight] - fit.background;
    e.square.selfadjointView<Eigen::Lower>().rankUpdate(row);
    e.pull += left * row;
  }
  e.square.triangularView<Eigen::StrictlyUpper>() = e.square.transpose();
  for (const Prior& prior : kPriors) {
    const auto t = static_cast<Eigen::Index>(prior.term);
    const double weight = prior_weight(fit, prior.sigma);
    e.square(t, t) += weight;
    e.pull[t] += weight * (prior.value - fit.terms[prior.term]);
  }
  return e;
}

double prior_cost(const Fit& fit, const StarTerms& terms) {
  double cost = 0.0;
  for (const Prior& prior : kPriors)
    cost += prior_weight(fit, prior.sigma) * std::pow(terms[prior.term] - prior.value, 2);
  return cost;
}

// Levenberg's and Marquardt's damping; light and background are put right after every step.
Fit refine(const BlurredStar& star, const Target& target, Fit fit) {
  constexpr int kMostSteps = 25;
  Plane<float> picture;
  std::array<Plane<float>, kStarTerms> slopes;
  double damping = 1e-2;
  for (int step = 0; step < kMostSteps; ++step) {
    star.draw(fit.terms, picture, &slopes);
    fit_linear(target, picture, fit);
    const Equations e = equations(target, fit, picture, slopes);
    bool better = false;
    double gain = 0.0;
    while (!better && damping < 1e6) {
      Matrix damped = e.square;
      damped.diagonal() *= 1.0 + damping;
      const Vector move = damped.ldlt().solve(e.pull);
      Fit next = fit;
      for (std::size_t t = 0; t < kStarTerms; ++t) next.terms[t] += move[static_cast<Eigen::Index>(t)];
      next.terms[kLogR0] = std::clamp(next.terms[kLogR0], std::log(0.01), std::log(2.0));
      next.terms[kAligned] = std::clamp(next.terms[kAligned], 0.0, 1.0);
      star.draw(next.terms, picture, nullptr);
      fit_linear(target, picture, next);
      const double before = fit.cost + prior_cost(fit, fit.terms), after = next.cost + prior_cost(fit, next.terms);
      better = after < before;
      damping *= better ? 0.2 : 6.0;
      if (better) {
        gain = (before - after) / before;
        fit = next;
      }
    }
    if (!better || gain < 1e-5) break;
  }
  return fit;
}

// Where to start: the amount of defocus that suits best with nothing else wrong.
Fit start(const BlurredStar& star, const Target& target) {
  Fit best;
  best.cost = -1.0;
  Plane<float> picture;
  for (double defocus = 0.5; defocus < kFarthestDefocus; defocus *= 1.12) {
    Fit fit;
    fit.terms[kDefocus] = defocus;
    fit.terms[kLogR0] = std::log(0.06);
    fit.terms[kAligned] = 0.9;
    fit.terms[kStarX] = fit.terms[kStarY] = -0.5;  // the middle of the plane lies between pixels
    star.draw(fit.terms, picture, nullptr);
    fit_linear(target, picture, fit);
    if (best.cost < 0.0 || fit.cost < best.cost) best = fit;
  }
  return best;
}

// How much a unit of light in each sample of the mean moves each term.
using Levers = std::array<Plane<float>, kStarTerms>;
Levers levers(const BlurredStar& star, const Target& target, const Fit& fit) {
  Plane<float> picture;
  std::array<Plane<float>, kStarTerms> slopes;
  star.draw(fit.terms, picture, &slopes);
  const Matrix inverse = equations(target, fit, picture, slopes).square.ldlt().solve(Matrix::Identity());
  Levers out;
  for (Plane<float>& plane : out) plane = Plane<float>(star.size(), star.size());
  for (std::size_t i = 0; i < picture.count(); ++i) {
    if (!target.counts(i)) continue;
    const Vector row = row_of(fit, picture, slopes, i);
    const Vector moved = inverse * row;
    for (std::size_t t = 0; t < kStarTerms; ++t)
      out[t].samples()[i] = static_cast<float>(moved[static_cast<Eigen::Index>(t)]);
  }
  return out;
}

// What one frame's difference from the mean does to each term, were all frames like it.
template <class T>
StarTerms pull_of(const RecordingInfo& info, std::span<const T> samples, PixelOffset shift, double frames,
                  const Target& target, const Levers& levers) {
  const int size = target.plane.value.width();
  const int dx = static_cast<int>(std::lround(shift.x)), dy = static_cast<int>(std::lround(shift.y));
  const int per_pixel = samples_per_pixel(info.mosaic);
  const T ceiling = static_cast<T>(std::ceil(0.998 * info.full_scale()));
  StarTerms pull{};
  for (int y = std::max(0, dy); y < std::min(info.height, dy + size); ++y) {
    for (int x = std::max(0, dx); x < std::min(info.width, dx + size); ++x) {
      if (is_bayer(info.mosaic) && colour_at(info.mosaic, x, y) != Colour::green) continue;
      const auto i =
          static_cast<std::size_t>(y - dy) * static_cast<std::size_t>(size) + static_cast<std::size_t>(x - dx);
      const auto pixel =
          static_cast<std::size_t>(y) * static_cast<std::size_t>(info.width) + static_cast<std::size_t>(x);
      const T sample = samples[pixel * static_cast<std::size_t>(per_pixel) + (per_pixel == 3 ? 1 : 0)];
      if (!target.counts(i) || !(sample < ceiling)) continue;
      const double differs = (static_cast<double>(sample) - target.value(i)) * frames /
                             static_cast<double>(target.plane.weight.samples()[i]);
      for (std::size_t t = 0; t < kStarTerms; ++t) pull[t] += differs * static_cast<double>(levers[t].samples()[i]);
    }
  }
  return pull;
}

Result<std::vector<StarTerms>> pulls(const Recording& recording, const RecordingIndex& index,
                                     std::span<const std::size_t> frames, const AlignedMean& mean, const Target& target,
                                     const Levers& levers) {
  const RecordingInfo& info = recording.info();
  Plane<std::byte> buffer(static_cast<int>(info.bytes_per_frame()), 1);
  std::vector<StarTerms> out;
  for (const std::size_t number : frames) {
    HALFARC_CHECK(recording.read(number, 1, buffer.samples()));
    const PixelOffset shift = index.frames[number].centroid - mean.centroid;
    out.push_back(visit_samples(info.sample, buffer.samples(), [&]<class T>(std::span<const T> samples) {
      return pull_of<T>(info, samples, shift, static_cast<double>(frames.size()), target, levers);
    }));
  }
  return out;
}

// By stretches of a hundredth of the clip: what hangs together over a second is then within reach at any frame rate.
double standard_error(const std::vector<StarTerms>& pulls, std::size_t term) {
  constexpr std::size_t kStretches = 100;
  const std::size_t stretches = std::min(kStretches, pulls.size());
  std::vector<double> series(stretches);
  for (std::size_t i = 0; i < pulls.size(); ++i) series[i * stretches / pulls.size()] += pulls[i][term];
  return std::sqrt(error_square(series)) / static_cast<double>(pulls.size());
}

// The variance of the means of stretches of a series, and the variance of that.
struct Spread {
  double value = 0.0, variance = 0.0;
};
std::optional<Spread> spread_of_means(const std::vector<double>& series, std::span<const double> times, double length) {
  std::vector<double> means;
  double sum = 0.0, count = 0.0;
  double end = times.front() + length;
  for (std::size_t i = 0; i < series.size(); ++i) {
    if (times[i] >= end) {
      if (count > 0.0) means.push_back(sum / count);
      sum = count = 0.0;
      end = times.front() + length * std::ceil((times[i] - times.front()) / length + 1e-9);
    }
    sum += series[i];
    count += 1.0;
  }
  if (means.size() < 4) return std::nullopt;
  double middle = 0.0;
  for (const double m : means) middle += m / static_cast<double>(means.size());
  Spread spread;
  for (const double m : means) spread.value += (m - middle) * (m - middle) / static_cast<double>(means.size() - 1);
  spread.variance = 2.0 * spread.value * spread.value / static_cast<double>(means.size() - 1);
  return spread;
}

// The mean square of the part of a series that lasts for seconds, which noise may make negative: V(1 s) = P + F and
// V(0.2 s) = P + 5 F, with F what changes that fast leave in the mean of a second.
std::optional<Spread> slow_square(const std::vector<double>& series, std::span<const double> times) {
  constexpr double kSlow = 1.0, kFast = 0.2, kRatio = kSlow / kFast;
  const auto slow = spread_of_means(series, times, kSlow), fast = spread_of_means(series, times, kFast);
  if (!slow || !fast) return std::nullopt;
  return Spread{(kRatio * slow->value - fast->value) / (kRatio - 1.0),
                (kRatio * kRatio * slow->variance + fast->variance) / ((kRatio - 1.0) * (kRatio - 1.0))};
}

// Up-down coma and upright astigmatism together, as rms over the pupil: W rho^3 is W / sqrt(72) without its tilt, and
// W rho^2 cos 2t is W / sqrt(6).
std::optional<Measured<double>> plume_of(const std::vector<StarTerms>& pulls, std::span<const double> times,
                                         Angle up_on_image) {
  const PixelOffset up = step_towards(up_on_image);
  std::vector<double> coma, astigmatism;
  for (const StarTerms& p : pulls) {
    coma.push_back(p[kComaX] * up.x + p[kComaY] * up.y);
    astigmatism.push_back(p[kAstigmatism] * (up.x * up.x - up.y * up.y) + p[kAstigmatism45] * 2.0 * up.x * up.y);
  }
  const auto c = slow_square(coma, times), a = slow_square(astigmatism, times);
  if (!c || !a) return std::nullopt;
  const double square = c->value / 72.0 + a->value / 6.0;
  const double error = std::sqrt(c->variance / (72.0 * 72.0) + a->variance / 36.0);
  return Measured<double>{std::sqrt(std::max(0.0, square)),
                          error > 0.0 ? error / (2.0 * std::sqrt(std::max(square, 0.25 * error))) : 0.0};
}

StarRing ring_of(const Fit& fit, const std::vector<StarTerms>& pulls) {
  const double sign = fit.terms[kDefocus] < 0.0 ? -1.0 : 1.0;
  const auto term = [&](std::size_t t, double factor) {
    return Measured<double>{factor * fit.terms[t], standard_error(pulls, t)};
  };
  StarRing ring;
  const auto with_model = [&](std::size_t t) {
    Measured<double> m = term(t, sign);
    m.sigma = std::hypot(m.sigma, kModelError);
    return m;
  };
  ring.defocus = with_model(kDefocus);
  for (const auto& [coma, t] : {std::pair{&ring.coma_x, kComaX}, {&ring.coma_y, kComaY}}) {
    *coma = term(t, 1.0);
    coma->sigma = std::hypot(coma->sigma, coma_error(fit.terms[kDefocus]) * coma->value);
  }
  ring.astigmatism = term(kAstigmatism, sign);
  ring.astigmatism_45 = term(kAstigmatism45, sign);
  ring.spherical = with_model(kSpherical);
  const Length r0 = Length::m(std::exp(fit.terms[kLogR0]));
  ring.r0 = {r0, r0 * standard_error(pulls, kLogR0)};
  ring.frames = pulls.size();
  ring.explained = 1.0 - fit.cost / (fit.variance * static_cast<double>(fit.samples));
  return ring;
}

}  // namespace

double StarRing::coma_sigma() const {
  return std::sqrt(0.5 * (coma_x.sigma * coma_x.sigma + coma_y.sigma * coma_y.sigma));
}

Result<StarRing> measure_star_ring(const Recording& recording, const RecordingIndex& index,
                                   std::span<const double> times, const ClipOptics& optics, Angle up_on_image) {
  std::vector<std::size_t> frames;
  std::vector<double> when;
  for (std::size_t i = 0; i < std::min(index.frames.size(), times.size()); ++i) {
    if (!index.frames[i].found) continue;
    frames.push_back(i);
    when.push_back(times[i]);
  }
  const double span = when.empty() ? 0.0 : when.back() - when.front();
  if (frames.size() < kFewestFrames || span < kShortestSpan)
    return bad_input("too short to tell the optics from the air", recording.info().path.string(),
                     "record the star for 10 s or more");
  HALFARC_TRY(const AlignedMean mean, aligned_mean(recording, index, frames, size_for(index, 512)));
  const SamplePlane& plane = mean.green();
  const Target target{plane, 0.1F * *std::max_element(plane.weight.samples().begin(), plane.weight.samples().end())};
  const BlurredStar star(optics.pupil, optics.wavelength, optics.scale, plane.value.width());
  const Fit fit = refine(star, target, start(star, target));
  HALFARC_TRY(const auto each, pulls(recording, index, frames, mean, target, levers(star, target, fit)));

  StarRing ring = ring_of(fit, each);
  if (!(ring.explained > kLeastExplained))
    return bad_input("this does not look like a star through this telescope", recording.info().path.string(),
                     "check scale, aperture and obstruction in rig.toml");
  ring.span = Duration::s(span);
  ring.plume = plume_of(each, when, up_on_image);
  return ring;
}

Duration clip_for(const StarRing& ring, double coma_sigma) {
  const double ratio = ring.coma_sigma() / coma_sigma;
  return ring.span * (ratio * ratio);
}

}  // namespace halfarc
