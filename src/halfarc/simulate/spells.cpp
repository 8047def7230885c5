#include "halfarc/simulate/spells.h"

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace halfarc {

SpellCourse::SpellCourse(const Spells& spells, Rng rng) : spread_(spells.spread) {
  if (spread_ > 0.0) signal_ = slow_wandering(spells.lasting, rng);
}

double SpellCourse::r0_factor(Duration t) const {
  if (!signal_) return 1.0;
  // The mean of exp(-5/3 (spread n + shift)) is 1 for this shift.
  const double shift = 5.0 / 6.0 * spread_ * spread_;
  return std::exp(spread_ * signal_->at(t) + shift);
}

double SpellCourse::path_factor(Duration t) const { return signal_ ? std::pow(r0_factor(t), -5.0 / 6.0) : 1.0; }

double pulse_at(const Pulses& pulses, Duration t, const Rng& rng) {
  if (pulses.duty >= 1.0) return 1.0;
  const double stretch = std::floor(t / pulses.every);
  const double on = pulses.duty;
  const double begins = rng.child("pulse", static_cast<std::uint64_t>(stretch)).uniform() * (1.0 - on);
  const double since = t / pulses.every - stretch - begins;
  const double edge = 0.2 * on;
  const double inside = std::clamp(std::min(since, on - since) / edge, 0.0, 1.0);
  return inside * inside * (3.0 - 2.0 * inside);
}

}  // namespace halfarc
