#include "halfarc/measure/disc_fit.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "halfarc/measure/blurred_disc.h"
#include "halfarc/measure/least_squares.h"

namespace halfarc {
namespace {

// The order of the parameters. The radius is the mean one (of the circle of equal area) and the flattening a vector
// of twice the pole's angle, for these stay smooth where the disc is round.
enum Parameter { kX, kY, kRadius, kFlatCos, kFlatSin, kSigma, kDarkening, kLevel, kBackground, kUneven };
// From kUneven on: how the limb's brightness varies around the disc, as cosine and sine of m times the angle from up.
constexpr int kMostHarmonics = 4;
// And how its darkening does, with twice the angle: the poles of a belted planet are darker at the limb. Fitted with
// all the harmonics only, for on a smaller or more blurred disc it cannot be told from a flattening.
constexpr int kDarkCos = kUneven + 2 * kMostHarmonics;
constexpr int kDarkSin = kDarkCos + 1;
constexpr int kCount = kDarkSin + 1;
using Vector = least_squares::Vector<kCount>;
using Matrix = least_squares::Matrix<kCount>;
using Equations = least_squares::Equations<kCount>;

// What is known of limb darkening beforehand.
constexpr double kDarkeningPrior = 0.6;
constexpr double kDarkeningPriorSigma = 0.3;

struct Samples {
  struct One {
    double x, y, value, weight;
    int column, row;
  };
  std::vector<One> all;
  int width = 0, height = 0;
  int harmonics = 0;  // of the limb's brightness that are fitted

  bool fitted(int i) const { return i < kUneven + 2 * harmonics || (i >= kDarkCos && harmonics == kMostHarmonics); }
  int free() const { return kUneven + 2 * harmonics + (harmonics == kMostHarmonics ? 2 : 0); }  // parameters
};

// All samples of the neighbourhood; of large discs the face and the sky are thinned out, for the limb says it all.
Samples samples_near(const SamplePlane& plane, const DiscGuess& guess) {
  const double reach = 0.85 * guess.diameter + 6.0;
  const double limb = std::min(0.2 * guess.diameter + 4.0, 0.08 * guess.diameter + 14.0);  // so near to it all are kept
  const int thin = guess.diameter > 100.0 ? static_cast<int>(guess.diameter / 50.0) : 1;
  Samples s{{}, plane.value.width(), plane.value.height(), 0};
  for (int y = 0; y < s.height; ++y) {
    for (int x = 0; x < s.width; ++x) {
      const double weight = static_cast<double>(plane.weight(x, y));
      if (!(weight > 0.0)) continue;
      const double px = x + (plane.beside_x.empty() ? 0.0 : static_cast<double>(plane.beside_x(x, y)));
      const double py = y + (plane.beside_y.empty() ? 0.0 : static_cast<double>(plane.beside_y(x, y)));
      const double dx = px - guess.centre.x, dy = py - guess.centre.y, r = std::sqrt(dx * dx + dy * dy);
      if (r > reach) continue;
      if (std::abs(r - 0.5 * guess.diameter) > limb && (x / 2 % thin != 0 || y / 2 % thin != 0)) continue;
      s.all.push_back({px, py, static_cast<double>(plane.value(x, y)), weight, x, y});
    }
  }
  return s;
}

// Of many samples every few: a first solution is only where the next begins.
Samples few_of(const Samples& all) {
  constexpr std::size_t kEnough = 6000;
  const std::size_t step = std::max<std::size_t>(1, all.all.size() / kEnough);
  Samples s{{}, all.width, all.height, all.harmonics};
  for (std::size_t i = 0; i < all.all.size(); i += step) s.all.push_back(all.all[i]);
  return s;
}

// The samples about the limb of a first solution, with as many harmonics as it can carry: belts, caps and maria change
// the brightness along the limb, and given their own parameters they no longer pull the disc's shape.
Samples samples_about_limb(const Samples& all, const Vector& p) {
  Samples s{{}, all.width, all.height, 0};
  const double zone = 3.5 * p[kSigma] + 2.0;
  const double f = std::hypot(p[kFlatCos], p[kFlatSin]);
  for (const Samples::One& one : all.all) {
    const double dx = one.x - p[kX], dy = one.y - p[kY], r = std::sqrt(dx * dx + dy * dy);
    if (std::abs(r - p[kRadius]) < zone + f * p[kRadius]) s.all.push_back(one);
  }
  s.harmonics = std::clamp(static_cast<int>(p[kRadius] / p[kSigma] / 3.0) - 1, 0, kMostHarmonics);
  return s;
}

// Brightness at a sample and its derivative by every parameter.
//
// The ellipse is stretched along the pole into a circle. With q = 1 - flattening and mean radius m the equatorial
// radius is m / sqrt(q); in stretched coordinates scaled to the mean radius, r^2 = q across^2 + along^2 / q. The blur,
// round on the image, is then a little longer along the pole than across: sigma^2 -> sigma^2 (q cos^2 + sin^2 / q) at
// the angle of the sample, taken to first order.
class Model {
 public:
  Model(const Vector& p, int harmonics) : p_(p), disc_(p[kRadius], p[kSigma]), harmonics_(harmonics) {
    flattening_ = std::min(0.9, std::hypot(p[kFlatCos], p[kFlatSin]));
  }

  double at(const Samples::One& s, Vector& gradient) const {
    const double dx = s.x - p_[kX], dy = s.y - p_[kY];
    const double q = 1.0 - flattening_;
    // Twice the pole's angle by its cosine and sine; d^2 cos 2 phi and d^2 sin 2 phi of the sample, from the same zero.
    const double square = dx * dx + dy * dy;
    const double cos2 = dy * dy - dx * dx, sin2 = -2.0 * dx * dy;
    const double mean = 0.5 * (q + 1.0 / q);
    // (1/q - q) / (2 f), the strength of the second harmonic per unit of flattening; 1 + f/2 + ... near zero.
    const double strength = flattening_ < 1e-6 ? 1.0 : (1.0 / q - q) / (2.0 * flattening_);
    const double harmonic = p_[kFlatCos] * cos2 + p_[kFlatSin] * sin2;
    const double r2 = std::max(0.0, mean * square + strength * harmonic);
    const double r = std::sqrt(r2);

    const BlurredDisc::Value v = disc_.at(r);
    double k = p_[kDarkening];
    if (square > 0.0) k += (p_[kDarkCos] * cos2 + p_[kDarkSin] * sin2) / square;
    double b = (1.0 - k) * v.flat + k * v.domed;
    const double b_r = (1.0 - k) * v.flat_r + k * v.domed_r;
    const double b_sigma = (1.0 - k) * v.flat_sigma + k * v.domed_sigma;
    const double b_radius = (1.0 - k) * v.flat_radius + k * v.domed_radius;
    // The blur's own stretch, half f sigma^2 (d^2/d along^2 - d^2/d across^2), is a second harmonic of B'' - B'/r.
    const double bend = r > 0.0 ? 0.5 * p_[kSigma] * p_[kSigma] * (b_sigma / p_[kSigma] - 2.0 * b_r / r) : 0.0;
    if (square > 0.0) b += bend * strength * harmonic / square;

    gradient.setZero();
    double uneven = 1.0;
    if (square > 0.0) {
      const double c1 = -dy / std::sqrt(square), s1 = dx / std::sqrt(square);
      double c = 1.0, sn = 0.0;
      for (int m = 0; m < harmonics_; ++m) {
        const double next = c * c1 - sn * s1;
        sn = sn * c1 + c * s1;
        c = next;
        gradient[kUneven + 2 * m] = p_[kLevel] * b * c;
        gradient[kUneven + 2 * m + 1] = p_[kLevel] * b * sn;
        uneven += p_[kUneven + 2 * m] * c + p_[kUneven + 2 * m + 1] * sn;
      }
    }
    const double level = p_[kLevel] * uneven;
    const double by_r2 = r > 0.0 ? level * b_r / (2.0 * r) : 0.0;
    const double fc = p_[kFlatCos], fs = p_[kFlatSin];
    gradient[kX] = by_r2 * (-2.0 * mean * dx + strength * (2.0 * fc * dx + 2.0 * fs * dy));
    gradient[kY] = by_r2 * (-2.0 * mean * dy + strength * (-2.0 * fc * dy + 2.0 * fs * dx));
    gradient[kRadius] = level * b_radius;
    // d mean / d f = (1/q^2 - 1) / 2 and d strength / d f = ((1/q^2 + 1) / 2 - strength) / f, along the unit vector.
    const double mean_f = 0.5 * (1.0 / (q * q) - 1.0);
    const double strength_f = flattening_ < 1e-6 ? 0.5 : (0.5 * (1.0 / (q * q) + 1.0) - strength) / flattening_;
    const double along = flattening_ > 0.0 ? (mean_f * square + strength_f * harmonic) / flattening_ : 0.0;
    gradient[kFlatCos] = by_r2 * (strength * cos2 + along * fc);
    gradient[kFlatSin] = by_r2 * (strength * sin2 + along * fs);
    if (square > 0.0) {
      gradient[kFlatCos] += level * bend * strength * cos2 / square;
      gradient[kFlatSin] += level * bend * strength * sin2 / square;
    }
    gradient[kSigma] = level * b_sigma;
    gradient[kDarkening] = level * (v.domed - v.flat);
    if (harmonics_ == kMostHarmonics && square > 0.0) {
      gradient[kDarkCos] = gradient[kDarkening] * cos2 / square;
      gradient[kDarkSin] = gradient[kDarkening] * sin2 / square;
    }
    gradient[kLevel] = uneven * b;
    gradient[kBackground] = 1.0;
    return p_[kBackground] + level * b;
  }

 private:
  Vector p_;
  BlurredDisc disc_;
  int harmonics_;
  double flattening_ = 0.0;
};

// What is left of a sample by the model, and the model's gradient there.
auto residual_of(const Model& model) {
  return [&model](const Samples::One& s, Vector& gradient) { return s.value - model.at(s, gradient); };
}

Equations equations(const Samples& samples, const Vector& p, Threads threads) {
  const Model model(p, samples.harmonics);
  Equations e = least_squares::equations<kCount>(std::span(samples.all), threads, residual_of(model));
  for (int i = 0; i < kCount; ++i) {
    if (!samples.fitted(i)) e.normal(i, i) = 1.0;  // stays where it is
  }
  return e;
}

// What is known of limb darkening beforehand, as one more observation. `variance` is that of a residual of unit weight,
// as often as residuals hang together.
void add_prior(Equations& e, const Vector& p, double variance) {
  const double weight = variance / (kDarkeningPriorSigma * kDarkeningPriorSigma);
  for (const auto& [i, known] :
       {std::pair<int, double>{kDarkening, kDarkeningPrior}, {kDarkCos, 0.0}, {kDarkSin, 0.0}}) {
    const double off = known - p[i];
    e.normal(i, i) += weight;
    e.right[i] += weight * off;
    e.cost += weight * off * off;
  }
}

bool sensible(const Vector& p, double largest) {
  return p.allFinite() && p[kRadius] > 0.5 && p[kRadius] < largest && p[kSigma] > 0.15 && p[kSigma] < 2.0 * largest &&
         p[kRadius] / p[kSigma] > 0.06 && std::hypot(p[kFlatCos], p[kFlatSin]) < 0.6 && std::abs(p[kDarkening]) < 3.0;
}

struct Solution {
  Vector p;
  Equations equations;
  double variance = 0.0;  // of a residual of unit weight
  double together = 1.0;  // how many residuals hang together, as the prior saw it
  bool converged = false;
};

Solution solve(const Samples& samples, const Vector& start, double largest, double together, Threads threads) {
  Solution s;
  s.p = start;
  s.together = together;
  const double freedom = std::max(1.0, static_cast<double>(samples.all.size()) - samples.free());
  double damping = 1e-3, last_gain = 1.0;
  s.equations = equations(samples, s.p, threads);
  s.variance = s.equations.cost / freedom;
  double prior_variance = s.variance * together;
  add_prior(s.equations, s.p, prior_variance);
  for (int round = 0; round < 60 && !s.converged; ++round) {
    Matrix damped = s.equations.normal;
    damped.diagonal() *= 1.0 + damping;
    const Vector step = damped.ldlt().solve(s.equations.right);
    const Vector tried = s.p + step;
    Equations next;
    bool better = false;
    const bool allowed = sensible(tried, largest);
    if (allowed) {
      next = equations(samples, tried, threads);
      const double variance = next.cost / freedom;
      add_prior(next, tried, prior_variance);
      better = next.cost <= s.equations.cost;
      if (better) {
        const double gained = s.equations.cost - next.cost;
        last_gain = gained / next.cost;
        s.converged = last_gain < 1e-6 && damping < 1.0;
        s.p = tried;
        s.variance = variance;
        s.equations = next;
        if (damping < 1e-2 && !s.converged) {  // near the end the residuals tell what the prior is worth
          s.equations = equations(samples, s.p, threads);
          prior_variance = s.variance * together;
          add_prior(s.equations, s.p, prior_variance);
        }
      }
    }
    damping = better ? std::max(1e-9, damping / 6.0) : damping * 4.0;
    if (damping > 1e8) {  // no step is better any more: the bottom, unless the way on is barred
      s.converged = allowed;
      break;
    }
  }
  s.converged = s.converged || last_gain < 1e-3;  // slow, but hardly anything left to gain
  return s;
}

// Patches as wide as the blur makes residuals hang together, but at least four across the disc.
int patch_of(const Vector& p) {
  const int most = std::clamp(static_cast<int>(0.5 * p[kRadius]), 3, 40);
  return std::clamp(static_cast<int>(std::lround(2.5 * p[kSigma])), 3, most);
}

// The scatter of what samples pull, alone and over patches.
struct Scatter {
  Matrix alone, patches;
};
Scatter scatter(const Samples& samples, const Solution& s, Threads threads) {
  const Model model(s.p, samples.harmonics);
  const std::span all(samples.all);
  const auto pulls = least_squares::pulls<kCount>(all, threads, residual_of(model));
  const auto over = [&](int patch) {
    return least_squares::scatter<kCount>(all, pulls, samples.width, samples.height, patch);
  };
  return {over(1), over(patch_of(s.p))};
}

// How many residuals hang together: the growth of the variance of what pulls the limb darkening, at least 1.
double hanging_together(const Samples& samples, const Solution& s, Threads threads) {
  const Scatter of = scatter(samples, s, threads);
  const double alone = of.alone(kDarkening, kDarkening), patches = of.patches(kDarkening, kDarkening);
  return alone > 0.0 ? std::max(1.0, patches / alone) : 1.0;
}

Matrix covariance(const Samples& samples, const Solution& s, Threads threads) {
  Scatter of = scatter(samples, s, threads);
  const auto n = static_cast<double>(samples.all.size());
  const double prior = s.variance * s.together / (kDarkeningPriorSigma * kDarkeningPriorSigma);
  for (Matrix* middle : {&of.alone, &of.patches}) {
    *middle *= n / (n - samples.free());
    for (const int i : {static_cast<int>(kDarkening), kDarkCos, kDarkSin}) (*middle)(i, i) += prior;
  }
  return least_squares::covariance<kCount>(s.equations.normal, of.alone, of.patches);
}

std::optional<std::string> doubt_of(const DiscFit& fit, const Solution& s) {
  if (!s.converged) return "no disc could be fitted";
  if (fit.level.value < 3.0 * fit.level.sigma || fit.explained < 0.5)
    return "the light does not have the shape of a disc";
  if (fit.equatorial_diameter.sigma > 0.2 * fit.equatorial_diameter.value || s.p[kSigma] > 0.7 * s.p[kRadius]) {
    return "it is too small or too blurred to be told from a point";
  }
  return std::nullopt;
}

DiscFit readings(const Samples& samples, const Solution& s, Threads threads) {
  const Matrix c = covariance(samples, s, threads);
  const auto sigma = [&](int i) { return std::sqrt(std::max(0.0, c(i, i))); };
  DiscFit fit;
  fit.x = {s.p[kX], sigma(kX)};
  fit.y = {s.p[kY], sigma(kY)};
  fit.blur = {s.p[kSigma], sigma(kSigma)};
  fit.darkening = {s.p[kDarkening], sigma(kDarkening)};
  fit.level = {s.p[kLevel], sigma(kLevel)};
  fit.background = s.p[kBackground];

  const double fc = s.p[kFlatCos], fs = s.p[kFlatSin];
  const double f = std::min(0.9, std::hypot(fc, fs));
  // Along the flattening's own direction and across it; a round disc has every direction.
  const double uc = f > 0.0 ? fc / f : 1.0, us = f > 0.0 ? fs / f : 0.0;
  const double along =
      uc * uc * c(kFlatCos, kFlatCos) + 2.0 * uc * us * c(kFlatCos, kFlatSin) + us * us * c(kFlatSin, kFlatSin);
  const double across =
      us * us * c(kFlatCos, kFlatCos) - 2.0 * uc * us * c(kFlatCos, kFlatSin) + uc * uc * c(kFlatSin, kFlatSin);
  fit.flattening = {f, std::sqrt(std::max(0.0, along))};
  const double turn = f > 0.0 ? 0.5 * std::sqrt(std::max(0.0, across)) / f : std::numbers::pi;
  const double quarter = 0.5 * std::numbers::pi;
  double pole = 0.5 * std::atan2(fs, fc);
  if (pole >= quarter) pole -= 2.0 * quarter;
  fit.pole_angle = {Angle::rad(pole), Angle::rad(std::min(turn, quarter))};

  const double stretch = 2.0 / std::sqrt(1.0 - f);
  const double by_flat = s.p[kRadius] / (1.0 - f) / std::sqrt(1.0 - f);  // d diameter / d f
  const double with_radius = uc * c(kRadius, kFlatCos) + us * c(kRadius, kFlatSin);
  const double variance =
      stretch * stretch * c(kRadius, kRadius) + by_flat * by_flat * along + 2.0 * stretch * by_flat * with_radius;
  fit.equatorial_diameter = {stretch * s.p[kRadius], std::sqrt(std::max(0.0, variance))};

  double weights = 0.0, mean = 0.0, spread = 0.0;
  for (const auto& one : samples.all) {
    weights += one.weight;
    mean += one.weight * one.value;
  }
  mean /= weights;
  for (const auto& one : samples.all) spread += one.weight * (one.value - mean) * (one.value - mean);
  const auto n = static_cast<double>(samples.all.size());
  const double left = s.variance * (n - samples.free());
  fit.residual = std::sqrt(left / weights);
  fit.explained = spread > 0.0 ? 1.0 - left / spread : 0.0;
  fit.doubt = doubt_of(fit, s);
  return fit;
}

}  // namespace

Result<DiscFit> fit_disc(const SamplePlane& plane, const DiscGuess& guess, Threads threads) {
  const Samples samples = samples_near(plane, guess);
  if (samples.all.size() < 4 * kUneven || !(guess.diameter > 0.0)) {
    return bad_input("too few samples to fit a disc to");
  }
  const Samples few = few_of(samples);
  const double largest = 1.2 * guess.diameter + 4.0;
  const auto from = [&](double blur) {
    Vector start = Vector::Zero();
    start.head<kUneven>() << guess.centre.x, guess.centre.y, 0.5 * guess.diameter, 0.02, 0.0,
        std::max(0.8, blur * guess.diameter), kDarkeningPrior, 1.2 * guess.level, guess.background;
    return solve(few, start, largest, 1.0, threads);
  };
  Solution best = from(0.06);
  if (!best.converged) {
    Solution blurred = from(0.2);  // another beginning; the better end counts
    if (blurred.equations.cost < best.equations.cost) best = std::move(blurred);
  }
  if (!best.converged) return readings(few, best, threads);
  const Samples limb = samples_about_limb(samples, best.p);
  if (limb.all.size() < 10 * static_cast<std::size_t>(limb.free()))
    return readings(samples, solve(samples, best.p, largest, 1.0, threads), threads);
  const Solution first = solve(limb, best.p, largest, hanging_together(samples, best, threads), threads);
  const Solution second = solve(limb, first.p, largest, hanging_together(limb, first, threads), threads);
  return readings(limb, second, threads);
}

}  // namespace halfarc
