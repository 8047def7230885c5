#include "halfarc/simulate/pointing.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

namespace halfarc {
namespace {

using std::numbers::pi;

constexpr int kWaves = 160;

SkyOffset operator+(const SkyOffset& a, const SkyOffset& b) { return {a.x + b.x, a.y + b.y}; }
SkyOffset operator*(const SkyOffset& a, double k) { return {a.x * k, a.y * k}; }
bool none(const SkyOffset& a) { return a.x.rad() == 0.0 && a.y.rad() == 0.0; }

// The frequency below which a share of the shake's power lies, from the running sum on a fine grid up to 8 f0.
std::function<double(double)> shake_quantile(const WindShake& wind) {
  constexpr int steps = 8000;
  const double step = 8.0 * wind.cycles_per_s / steps;
  std::vector<double> below = {0.0};
  for (int i = 0; i < steps; ++i) below.push_back(below.back() + shake_power(wind, (i + 0.5) * step));
  return [below, step](double q) {
    const auto above = std::upper_bound(below.begin() + 1, below.end() - 1, q * below.back());
    const double part = (q * below.back() - above[-1]) / (above[0] - above[-1]);
    return step * (static_cast<double>(above - below.begin()) - 1.0 + part);
  };
}

}  // namespace

SkyOffset periodic_error_at(const PeriodicError& error, Duration t) {
  return error.amplitude * std::sin(2.0 * pi * (t / error.period + error.phase));
}

SkyOffset key_press_at(const KeyPress& press, Duration t) {
  return press.by * std::clamp((t - press.at) / press.lasting, 0.0, 1.0);
}

SkyOffset nudge_at(const Nudge& nudge, Duration t) {
  const double since = (t - nudge.at).s();
  if (since <= 0.0) return {};
  const double turn = 2.0 * pi * nudge.cycles_per_s;
  const double fading = 1.0 / nudge.settling.s();
  const auto ring = [&](double s) { return std::exp(-fading * s) * std::sin(turn * s); };
  const double top = std::atan2(turn, fading) / turn;  // where the first swing turns back
  return nudge.peak * (ring(since) / ring(top));
}

double shake_power(const WindShake& wind, double f) {
  const double ratio = f / wind.cycles_per_s;
  const double stiff = 1.0 - ratio * ratio;
  const double answer = 1.0 / (stiff * stiff + ratio * ratio / (wind.quality * wind.quality));
  return std::pow(1.0 + f / wind.gusts_per_s, -5.0 / 3.0) * answer;
}

PointingPath::PointingPath(const Pointing& pointing, Rng rng)
    : pointing_(pointing),
      shake_x_(shake_quantile(pointing.wind), kWaves, rng.child("shake", 0)),
      shake_y_(shake_quantile(pointing.wind), kWaves, rng.child("shake", 1)) {}

SkyOffset PointingPath::at(Duration t) const {
  SkyOffset sum = periodic_error_at(pointing_.periodic, t);
  const SkyOffset& rms = pointing_.wind.rms;
  if (!none(rms)) sum = sum + SkyOffset{rms.x * shake_x_.at(t), rms.y * shake_y_.at(t)};
  for (const KeyPress& press : pointing_.keys) sum = sum + key_press_at(press, t);
  for (const Nudge& nudge : pointing_.nudges) sum = sum + nudge_at(nudge, t);
  return sum;
}

bool PointingPath::still() const {
  return none(pointing_.periodic.amplitude) && none(pointing_.wind.rms) && pointing_.keys.empty() &&
         pointing_.nudges.empty();
}

}  // namespace halfarc
