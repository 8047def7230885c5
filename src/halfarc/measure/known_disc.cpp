#include "halfarc/measure/known_disc.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>
#include <vector>

#include "halfarc/measure/disc_model.h"
#include "halfarc/measure/least_squares.h"

namespace halfarc {
namespace {

using namespace disc_model;
using Vector = least_squares::Vector<kCount>;
using Matrix = least_squares::Matrix<kCount>;
using Equations = least_squares::Equations<kCount>;

Parameters parameters(const Vector& p) {
  Parameters out;
  std::copy_n(p.data(), out.size(), out.begin());
  return out;
}

// What is known beforehand. Of the blur's form: frames put on top of each other have most of their tilt taken off;
// without a telescope, a power between that of Kolmogorov's air and diffraction's wings. And no globe is quite flat.
struct Prior {
  double value, sigma;
};
constexpr double kMarkingPriorSigma = 0.2;  // of each wave over the disc
constexpr Prior kTilt{0.8, 0.3}, kPower{1.6, 0.2};
constexpr double kDomedPrior = 0.6, kDomedPriorSigma = 0.4;  // share of the domed part
constexpr double kLargest = 45.0, kFinestBlur = 1.0;         // pixels; larger discs are binned if their blur allows
constexpr double kTurnShows = 0.3;                           // cells that flattening or phase move the limb by
constexpr double kClearly = 25.0;                            // of chi^2: five sigma

// What the model leaves out, as a share of the diameter, found on simulated discs (accuracy/disc_scale.cpp): belts 0.3
// %; the shadows of globe and ring 0.6 %; maria and caps 0.4 %, and the more the blur spreads them over the limb.
double left_out(const Samples& samples, double blur_of_diameter) {
  if (samples.ring) return 0.006;
  return samples.belts ? 0.003 : std::hypot(0.004, 2.2 * blur_of_diameter * blur_of_diameter);
}

Prior form_prior(const Samples& samples) { return samples.telescope ? kTilt : kPower; }

struct Fit {
  Vector p = Vector::Zero();
  Equations equations;
  double variance = 0.0;  // of a residual of unit weight
  double together = 1.0;  // how many residuals hang together
  bool converged = false;
};

// What is left of a sample by the model, and the model's gradient there.
auto residual_of(const Model& model) {
  return [&model](const Sample& s, Vector& gradient) {
    Parameters by{};
    const double left = s.value - model.at(s, &by);
    gradient = Eigen::Map<const Vector>(by.data());
    return left;
  };
}

class Solver {
 public:
  Solver(const DiscShape& shape, bool mirrored, const Samples& samples, double together, Threads threads)
      : shape_(shape), mirrored_(mirrored), samples_(samples), together_(together), threads_(threads) {}

  Fit from(const Vector& start, int rounds) const {
    Fit f;
    f.together = together_;
    f.p = start;
    f.equations = equations(f.p, 0.0, threads_);
    const double freedom = std::max<double>(1.0, static_cast<double>(samples_.all.size()) - samples_.free());
    f.variance = f.equations.cost / freedom;
    f.equations = equations(f.p, f.variance * together_, threads_);
    double damping = 1e-3;
    for (int round = 0; round < rounds && !f.converged; ++round) {
      Matrix damped = f.equations.normal;
      damped.diagonal() *= 1.0 + damping;
      Vector step = damped.ldlt().solve(f.equations.right);
      step[kPole] = std::clamp(step[kPole], -0.3, 0.3);
      const Vector tried = f.p + step;
      double cost = 1e300;
      if (sensible(tried, start)) cost = cost_of(tried, f.variance * together_);
      if (cost <= f.equations.cost) {
        // A sixteenth of a sigma is near enough.
        f.converged = f.equations.cost - cost < 4e-3 * f.variance * together_;
        f.p = tried;
        f.equations = equations(f.p, f.variance * together_, threads_);
        f.variance = plain_cost(f) / freedom;
        damping = std::max(1e-9, damping / 8.0);
      } else {
        damping *= 6.0;
        if (damping > 1e6) f.converged = true;
      }
    }
    return f;
  }

  // Fits the brightness to a place, size and blur that stay; what it costs then.
  double lit_best(Vector& p, double prior, Threads threads) const {
    const Equations e = equations(p, prior, threads, false);
    const Vector step = e.normal.ldlt().solve(e.right);
    p += step;
    return e.cost - step.dot(e.right);
  }

  // The start turned to the direction that fits best, its brightness fitted to it.
  Vector turned_best(const Vector& start) const {
    constexpr int kTries = 16;
    double least = 1e300;
    Vector best = start;
    for (int i = 0; i < kTries; ++i) {
      Vector p = start;
      p[kPole] = 2.0 * std::numbers::pi * i / kTries;
      p.tail(kCount - kMarkings).setZero();
      const double cost = lit_best(p, 0.0, threads_);
      if (cost < least) {
        least = cost;
        best = p;
      }
    }
    return best;
  }

  // By how much, in units of chi^2, another fit is worse.
  static double worse(const Fit& other, const Fit& best) {
    return (other.equations.cost - best.equations.cost) / (best.variance * best.together);
  }

  // Belts and spots leave directions of the pole some 20 degrees beside the best, in which a fit comes to rest: the
  // best of those about it, and by how much any other of them is worse at least. Each is tried with all else as it was
  // but the brightness.
  struct Best {
    Fit fit;
    double next = 1e300;
  };
  Best best_about(const Fit& first) const {
    constexpr double kStep = 0.11, kSame = 0.15;  // radians
    constexpr int kSteps = 6;                     // each way
    Best best{first};
    for (int round = 0; round < 3; ++round) {
      const Vector here = best.fit.p;
      std::array<double, 2 * kSteps> costs{};
      std::array<Vector, 2 * kSteps> tried;
      parallel_for(costs.size(), threads_, [&](std::size_t i) {
        const int step = static_cast<int>(i) - kSteps;
        tried[i] = here;
        tried[i][kPole] += kStep * (step < 0 ? step : step + 1);
        costs[i] = lit_best(tried[i], best.fit.variance * together_, Threads{1});
      });
      best.next = 1e300;
      const auto lowest = static_cast<std::size_t>(std::min_element(costs.begin(), costs.end()) - costs.begin());
      const double unit = best.fit.variance * together_;
      for (std::size_t i = 0; i < costs.size(); ++i)
        if (std::abs(tried[i][kPole] - here[kPole]) > kSame)
          best.next = std::min(best.next, (costs[i] - best.fit.equations.cost) / unit);
      // A place a step off the bottom of another hollow is dearer than that bottom.
      if (best.next > 2.0 * kClearly) break;
      const Fit other = from(tried[lowest], 25);
      if (std::abs(other.p[kPole] - here[kPole]) < kSame) break;
      best.next = std::abs(worse(other, best.fit));
      if (other.equations.cost >= best.fit.equations.cost) break;
      best.fit = other;
    }
    return best;
  }

  Matrix covariance(const Fit& f) const {
    const auto n = static_cast<double>(samples_.all.size());
    Scatter of = scatter(f);
    for (Matrix* middle : {&of.alone, &of.patches}) {
      *middle *= n / (n - samples_.free());
      add_prior_information(*middle, f.variance * f.together);
    }
    return least_squares::covariance<kCount>(f.equations.normal, of.alone, of.patches);
  }

  double hanging_together(const Fit& f) const {
    const Scatter of = scatter(f);
    const double alone = of.alone(kRadius, kRadius);
    return alone > 0.0 ? std::max(1.0, of.patches(kRadius, kRadius) / alone) : 1.0;
  }

  double plain_cost(const Fit& f) const { return cost_of(f.p, 0.0); }

 private:
  // Of what samples pull, alone and over patches.
  struct Scatter {
    Matrix alone, patches;
  };

  bool sensible(const Vector& p, const Vector& start) const {
    return p.allFinite() && p[kRadius] > 0.6 * start[kRadius] && p[kRadius] < 1.6 * start[kRadius] && p[kSigma] > 0.2 &&
           p[kSigma] < 1.5 * p[kRadius] && p[kForm] > (samples_.telescope ? -0.5 : 0.8) &&
           p[kForm] < (samples_.telescope ? 1.3 : 2.6) && std::hypot(p[kX] - start[kX], p[kY] - start[kY]) < p[kRadius];
  }

  static int patch_of(const Vector& p) {
    const int most = std::clamp(static_cast<int>(0.5 * p[kRadius]), 3, 40);
    return std::clamp(static_cast<int>(std::lround(2.5 * p[kSigma])), 3, most);
  }

  double total(const Vector& p) const { return std::max(1e-6, std::abs(p[kFlat] + p[kDomed])); }

  // Off each prior in its own sigmas, and its slope.
  void add_prior(Equations& e, const Vector& p, double variance) const {
    const auto observe = [&](const Vector& slope, double off) {
      e.normal += variance * slope * slope.transpose();
      e.right -= variance * off * slope;
      e.cost += variance * off * off;
    };
    Vector slope = Vector::Zero();
    const Prior form = form_prior(samples_);
    slope[kForm] = 1.0 / form.sigma;
    observe(slope, (p[kForm] - form.value) / form.sigma);
    slope.setZero();
    const double unit = 1.0 / (kDomedPriorSigma * total(p));
    slope[kDomed] = (1.0 - kDomedPrior) * unit;
    slope[kFlat] = -kDomedPrior * unit;
    observe(slope, slope[kDomed] * p[kDomed] + slope[kFlat] * p[kFlat]);
    for (int i = kMarkings; i < kCount; ++i) {
      if (!samples_.fitted(i)) continue;
      slope.setZero();
      slope[i] = 1.0 / kMarkingPriorSigma;
      observe(slope, slope[i] * p[i]);
    }
  }

  void add_prior_information(Matrix& middle, double variance) const {
    middle(kForm, kForm) += variance / (form_prior(samples_).sigma * form_prior(samples_).sigma);
  }

  Equations equations(const Vector& p, double prior, Threads threads, bool bent = true) const {
    const Model model(shape_, mirrored_, samples_, parameters(p), bent, threads);
    Equations e = least_squares::equations<kCount>(std::span(samples_.all), threads, residual_of(model));
    add_prior(e, p, prior);
    for (int i = 0; i < kCount; ++i) {
      if (samples_.fitted(i) && (bent || i >= kBent)) continue;
      e.normal.row(i).setZero();
      e.normal.col(i).setZero();
      e.normal(i, i) = 1.0;
      e.right[i] = 0.0;
    }
    return e;
  }

  double cost_of(const Vector& p, double prior) const {
    const Model model(shape_, mirrored_, samples_, parameters(p), false);
    Equations e;
    for (const Sample& s : samples_.all) {
      const double residual = s.value - model.at(s, nullptr);
      e.cost += s.weight * residual * residual;
    }
    add_prior(e, p, prior);
    return e.cost;
  }

  Scatter scatter(const Fit& f) const {
    const Model model(shape_, mirrored_, samples_, parameters(f.p), true, threads_);
    const std::span all(samples_.all);
    const auto pulls = least_squares::pulls<kCount>(all, threads_, residual_of(model));
    const auto over = [&](int patch) {
      return least_squares::scatter<kCount>(all, pulls, samples_.width, samples_.height, patch);
    };
    return {over(1), over(patch_of(f.p))};
  }

  DiscShape shape_;
  bool mirrored_;
  const Samples& samples_;
  double together_;
  Threads threads_;
};

// The samples about the limb and the terminator; all of them where a ring is.
Samples about_limb(const Samples& all, const Vector& p, double blur, const DiscShape& shape) {
  Samples s = all;
  const double fine = p[kRadius] / blur;  // what the blur leaves of markings
  s.spots = fine > 15.0 ? kSpots : fine > 10.0 ? 8 : fine > 7.0 ? 4 : fine > 4.0 ? 2 : 0;
  s.belts = s.turns && shape.polar_ratio < 0.97 && fine > 10.0;
  const double zone = 3.5 * blur + 2.0 + (1.0 - shape.polar_ratio) * p[kRadius];
  // How far the terminator reaches in from the limb.
  const double shade = (1.0 - std::abs(cos(shape.phase))) * p[kRadius];
  if (shape.ring) return s;
  std::erase_if(s.all, [&](const Sample& one) {
    const double r = std::hypot(one.column + one.dx - p[kX], one.row + one.dy - p[kY]);
    return r > p[kRadius] + zone || r < p[kRadius] - zone - shade;
  });
  return s;
}

// The cells that a fit looks at.
struct Grid {
  int bin = 1;
  Part part;
  double half() const { return 0.5 * (bin - 1); }
};

Grid fine_grid(const SamplePlane& plane, const DiscShape& shape, const KnownDiscStart& start) {
  const int bin = std::max(1, static_cast<int>(std::min(start.diameter / kLargest, start.blur / kFinestBlur)));
  // Room for a start that is 15 % too small, and for the blur, whose transform repeats beyond the borders.
  const double radius = 0.575 * start.diameter * (shape.ring ? shape.ring->outer_edge : 1.0);
  return {bin, part_about(plane, start.centre, radius + 8.0 * start.blur + 8.0)};
}

// From a start that is only roughly right the way is found on cells twice as wide, where disc and blur allow it.
Grid coarse_grid(const Grid& fine, const KnownDiscStart& start) {
  constexpr double kFewest = 60.0, kFinest = 0.9;  // cells: of the diameter, of the blur
  const bool large = start.diameter > 2.0 * fine.bin * kFewest && start.blur > 2.0 * fine.bin * kFinest;
  return {large ? 2 * fine.bin : fine.bin, fine.part};
}

Vector carried(Vector p, const Grid& from, const Grid& to) {
  for (const int i : {kX, kY}) p[i] = (p[i] * from.bin + from.half() - to.half()) / to.bin;
  for (const int i : {kRadius, kSigma}) p[i] *= static_cast<double>(from.bin) / to.bin;
  return p;
}

Samples samples_of(const SamplePlane& plane, const DiscShape& shape, const KnownDiscStart& start, const Grid& grid) {
  Samples all = bin_samples(plane, grid.part, grid.bin);
  if (start.optics)
    all.telescope = std::make_shared<const TelescopeBlur>(
        telescope_blur(*start.optics, start.smear, grid.bin, all.width, all.height));
  all.ring = shape.ring.has_value();
  // Whether a turn shows: a flattening or a phase that moves the limb by more than a few tenths of a pixel.
  const double radius = 0.5 * start.diameter;
  all.turns = all.ring || std::max(1.0 - shape.polar_ratio, 1.0 - cos(shape.phase)) * radius > kTurnShows * grid.bin;
  return all;
}

Vector first_guess(const DiscShape& shape, const KnownDiscStart& start, const Grid& grid) {
  Vector p = Vector::Zero();
  p[kX] = (start.centre.x - grid.part.left - grid.half()) / grid.bin;
  p[kY] = (start.centre.y - grid.part.top - grid.half()) / grid.bin;
  p[kRadius] = 0.5 * start.diameter / grid.bin;
  const double blur = std::max(0.7, start.blur / grid.bin);
  p[kSigma] = start.optics ? 0.6 * blur : blur;
  p[kForm] = (start.optics ? kTilt : kPower).value;
  p[kBackground] = start.background;
  p[kFlat] = 0.4 * start.level;
  p[kDomed] = 0.6 * start.level;
  if (shape.ring) p[kInnerRing] = p[kOuterRing] = 0.5 * start.level;
  return p;
}

}  // namespace

KnownDiscStart start_from(const DiscFit& fit) {
  return {fit.centre(), fit.equatorial_diameter.value, fit.blur.value, fit.background, fit.level.value, false, {}, {}};
}

KnownDiscStart start_from_moments(const SamplePlane& plane, const DiscShape& shape, const DiscGuess& guess) {
  double sum = 0.0, x = 0.0, y = 0.0, xx = 0.0, yy = 0.0, xy = 0.0;
  for (int row = 0; row < plane.value.height(); ++row) {
    for (int column = 0; column < plane.value.width(); ++column) {
      if (!(plane.weight(column, row) > 0.0F)) continue;
      const double v = static_cast<double>(plane.value(column, row)) - guess.background;
      if (v < 0.1 * guess.level) continue;
      const double px = column - guess.centre.x, py = row - guess.centre.y;
      sum += v;
      x += v * px;
      y += v * py;
      xx += v * px * px;
      yy += v * py * py;
      xy += v * px * py;
    }
  }
  KnownDiscStart start{guess.centre, guess.diameter, 2.0, guess.background, guess.level, false, {}, {}};
  if (!(sum > 0.0)) return start;
  x /= sum;
  y /= sum;
  xx = xx / sum - x * x;
  yy = yy / sum - y * y;
  xy = xy / sum - x * y;
  start.centre = guess.centre + PixelOffset{x, y};
  const double longest = 0.5 * (xx + yy) + std::hypot(0.5 * (xx - yy), xy);
  // A globe alone has rms 0.5 R along an axis; with rings about 0.95 R along their long axis.
  start.diameter = 2.0 * std::sqrt(longest) / (shape.ring ? 0.95 : 0.5);
  start.blur = std::max(1.0, 0.05 * start.diameter);
  return start;
}

Result<KnownDisc> fit_known_disc(const SamplePlane& plane, const DiscShape& shape, const KnownDiscStart& start,
                                 Threads threads) {
  if (!(start.diameter > 0.0)) return bad_input("too few samples to fit a disc to");
  const Grid fine = fine_grid(plane, shape, start), coarse = coarse_grid(fine, start);
  const Samples all = samples_of(plane, shape, start, fine);
  if (all.all.size() < 4 * kCount) return bad_input("too few samples to fit a disc to");
  const double blur = std::max(0.7, start.blur / fine.bin);  // telescope, air and all

  Vector first = first_guess(shape, start, coarse);
  double together = 1.0;
  {
    const Samples there = coarse.bin == fine.bin ? all : samples_of(plane, shape, start, coarse);
    const Samples limb = about_limb(there, first, std::max(0.7, start.blur / coarse.bin), shape);
    const Solver rough(shape, start.mirrored, limb, 1.0, threads);
    if (all.turns) first = rough.turned_best(first);
    const Fit fit = rough.from(first, 12);
    together = rough.hanging_together(fit);
    first = carried(fit.p, coarse, fine);
  }
  const Samples near = about_limb(all, first, blur, shape);
  const Solver again(shape, start.mirrored, near, together, threads);
  Fit best = again.from(first, 25), other;
  const Solver last(shape, start.mirrored, near, again.hanging_together(best), threads);
  best = last.from(best.p, 30);
  bool sure = true;
  if (all.turns && !all.ring) {
    const Solver::Best lowest = last.best_about(best);
    best = lowest.fit;
    sure = lowest.next > kClearly;
  }

  KnownDisc disc;
  const bool has_ends = all.ring || (1.0 - cos(shape.phase)) * 0.5 * start.diameter > kTurnShows * fine.bin;
  if (has_ends) {
    Vector turned = best.p;
    turned[kPole] += std::numbers::pi;
    other = last.from(turned, 6);
    const double turn_gap = std::abs(std::remainder(other.p[kPole] - best.p[kPole], 2.0 * std::numbers::pi));
    const double gain = Solver::worse(other, best);
    if (gain < 0.0 && turn_gap > 1.5) best = last.from(other.p, 30);
    disc.half_turn_known = turn_gap < 1.5 || std::abs(gain) > kClearly;
  }
  const Matrix c = last.covariance(best);
  const auto sigma = [&](int i) { return std::sqrt(std::max(0.0, c(i, i))); };
  const double px = static_cast<double>(fine.bin);
  disc.x = {best.p[kX] * px + fine.half() + fine.part.left, sigma(kX) * px};
  disc.y = {best.p[kY] * px + fine.half() + fine.part.top, sigma(kY) * px};
  const double diameter = 2.0 * best.p[kRadius] * px;
  const double model = left_out(near, start.blur / diameter) * diameter;
  disc.diameter = {diameter, std::hypot(2.0 * sigma(kRadius) * px, model)};
  disc.blur = {best.p[kSigma] * px, sigma(kSigma) * px};
  disc.blur_form = {best.p[kForm], sigma(kForm)};
  if (all.turns && sure && sigma(kPole) < 0.5)
    disc.pole = Measured<Angle>{wrap_positive(Angle::rad(best.p[kPole])), Angle::rad(sigma(kPole))};
  double weights = 0.0, mean = 0.0, spread = 0.0;
  for (const Sample& one : near.all) {
    weights += one.weight;
    mean += one.weight * one.value;
  }
  mean /= weights;
  for (const Sample& one : near.all) spread += one.weight * (one.value - mean) * (one.value - mean);
  disc.explained = spread > 0.0 ? 1.0 - last.plain_cost(best) / spread : 0.0;
  if (!best.converged) {
    disc.doubt = "no disc of the target's shape could be fitted";
  } else if (disc.explained < 0.7 || disc.diameter.sigma > 0.1 * disc.diameter.value) {
    disc.doubt = "the light does not have the shape of the target's disc";
  }
  return disc;
}

}  // namespace halfarc
