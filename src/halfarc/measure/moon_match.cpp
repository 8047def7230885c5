#include "halfarc/measure/moon_match.h"

#include <algorithm>
#include <cmath>
#include <complex>

namespace halfarc {
namespace {

using Complex = std::complex<double>;

constexpr double kReward = 30.0;  // of chi^2 for each moon recognised: chance seldom puts a spot within 4 sigma of one
constexpr double kWithin = 4.0;   // sigma
constexpr double kScaleWithin = 5.0;  // sigma
constexpr double kClearly = 25.0;     // of cost: five sigma
constexpr double kOther = 0.03;       // relative difference of the factor that makes it another answer

Complex on_image(PixelOffset at) { return {-at.y, at.x}; }
Complex on_sky(const MoonPlace& moon, bool mirrored) {
  return {moon.north.arcsec(), mirrored ? moon.east.arcsec() : -moon.east.arcsec()};
}

struct Pair {
  std::size_t spot, moon;
};

struct Fit {
  Complex factor;  // pixels per arcsecond and turn
  Complex centre;  // of the planet, from where the spots are counted
  bool mirrored = false;
  std::vector<Pair> pairs;
  double chi2 = 0.0, cost = 0.0;
  double variance = 0.0;  // of the factor, one way
};

class Matcher {
 public:
  Matcher(std::span<const SpotPlace> spots, std::span<const MoonPlace> moons, const MatchFrom& from)
      : spots_(spots), moons_(moons), scale_(from.arcsec_per_px), centre_(from.centre_sigma) {}

  // The answers of all pairs of spots for all pairs of moons, one way round.
  std::vector<Fit> answers(bool mirrored) const {
    std::vector<Fit> found;
    for (std::size_t i = 0; i < spots_.size(); ++i)
      for (std::size_t k = 0; k < spots_.size(); ++k)
        for (std::size_t j = 0; j < moons_.size(); ++j)
          for (std::size_t l = 0; l < moons_.size(); ++l) {
            if (i >= k || j == l) continue;
            Fit fit;
            fit.mirrored = mirrored;
            fit.pairs = {{i, j}, {k, l}};
            solve(fit);
            if (!sensible(fit)) continue;
            take_others(fit);
            found.push_back(fit);
          }
    return found;
  }

 private:
  double variance(const Pair& p) const {
    const double ephemeris = moons_[p.moon].sigma.arcsec() / scale_.value;
    return spots_[p.spot].sigma * spots_[p.spot].sigma + ephemeris * ephemeris;
  }
  Complex off(const Fit& fit, const Pair& p) const {
    return on_image(spots_[p.spot].at) - fit.centre - fit.factor * on_sky(moons_[p.moon], fit.mirrored);
  }

  // Least squares for factor and centre, the centre being known to its sigma.
  void solve(Fit& fit) const {
    Complex pull, pull_centre, lever;
    double weight = 0.0, weight_centre = 1.0 / (centre_ * centre_);
    for (const Pair& p : fit.pairs) {
      const Complex sky = on_sky(moons_[p.moon], fit.mirrored), seen = on_image(spots_[p.spot].at);
      const double w = 1.0 / variance(p);
      pull += w * std::conj(sky) * seen;
      pull_centre += w * seen;
      lever += w * sky;
      weight += w * std::norm(sky);
      weight_centre += w;
    }
    const double determinant = weight * weight_centre - std::norm(lever);
    fit.factor = (weight_centre * pull - std::conj(lever) * pull_centre) / determinant;
    fit.centre = (weight * pull_centre - lever * pull) / determinant;
    fit.variance = weight_centre / determinant;
    fit.chi2 = std::norm(fit.centre) / (centre_ * centre_);
    for (const Pair& p : fit.pairs) fit.chi2 += std::norm(off(fit, p)) / variance(p);
    const double scale_off = (1.0 / std::abs(fit.factor) - scale_.value) / scale_.sigma;
    fit.cost = fit.chi2 + scale_off * scale_off - kReward * static_cast<double>(fit.pairs.size());
  }

  bool sensible(const Fit& fit) const {
    const double scale = 1.0 / std::abs(fit.factor);
    if (!(std::abs(scale - scale_.value) < kScaleWithin * scale_.sigma)) return false;
    if (std::abs(fit.centre) > std::sqrt(2.0) * kWithin * centre_) return false;
    return std::all_of(fit.pairs.begin(), fit.pairs.end(),
                       [&](const Pair& p) { return std::norm(off(fit, p)) < 2.0 * kWithin * kWithin * variance(p); });
  }

  // Further moons that have a spot where the factor puts them.
  void take_others(Fit& fit) const {
    for (std::size_t m = 0; m < moons_.size(); ++m) {
      if (std::any_of(fit.pairs.begin(), fit.pairs.end(), [&](const Pair& p) { return p.moon == m; })) continue;
      for (std::size_t s = 0; s < spots_.size(); ++s) {
        if (std::any_of(fit.pairs.begin(), fit.pairs.end(), [&](const Pair& p) { return p.spot == s; })) continue;
        Fit with = fit;
        with.pairs.push_back({s, m});
        solve(with);
        if (sensible(with) && with.cost < fit.cost) fit = std::move(with);
      }
    }
  }

  std::span<const SpotPlace> spots_;
  std::span<const MoonPlace> moons_;
  Measured<double> scale_;
  double centre_;
};

const Fit* best_of(const std::vector<Fit>& fits) {
  const auto best =
      std::min_element(fits.begin(), fits.end(), [](const Fit& a, const Fit& b) { return a.cost < b.cost; });
  return best == fits.end() ? nullptr : &*best;
}

// Whether another answer the same way round fits nearly as well.
bool doubtful(const Fit& best, const std::vector<Fit>& fits) {
  return std::any_of(fits.begin(), fits.end(), [&](const Fit& f) {
    return f.cost < best.cost + kClearly && std::abs(f.factor / best.factor - 1.0) > kOther;
  });
}

}  // namespace

std::optional<MoonMatch> match_moons(std::span<const SpotPlace> spots, std::span<const MoonPlace> moons,
                                     const MatchFrom& from) {
  const Matcher matcher(spots, moons, from);
  const std::vector<Fit> usual = matcher.answers(from.mirrored), other = matcher.answers(!from.mirrored);
  const Fit *best = best_of(usual), *rival = best_of(other);
  bool known = best == nullptr || rival == nullptr || std::abs(rival->cost - best->cost) > kClearly;
  const std::vector<Fit>* among = &usual;
  if (known && rival != nullptr && (best == nullptr || rival->cost < best->cost)) {
    best = rival;
    among = &other;
  }
  if (best == nullptr || doubtful(*best, *among)) return std::nullopt;
  MoonMatch match;
  const double pixels = std::abs(best->factor), sigma = std::sqrt(best->variance);
  match.arcsec_per_px = {1.0 / pixels, sigma / (pixels * pixels)};
  match.north = {wrap_positive(Angle::rad(std::arg(best->factor))), Angle::rad(sigma / pixels)};
  match.mirrored = best->mirrored;
  match.mirror_known = known;
  match.chi2 = best->chi2;
  for (const Pair& p : best->pairs) match.moons.push_back(moons[p.moon].name);
  return match;
}

}  // namespace halfarc
