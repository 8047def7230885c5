#include "halfarc/simulate/plume.h"

#include <cmath>
#include <numbers>

namespace halfarc {
namespace {

// A mode that is even about the line of up: its share, and the two polynomials between which it turns.
struct Mode {
  double share;
  int m;
  int cosine;
  int sine;  // 0: round
};
constexpr std::array<Mode, 6> kHump = {
    {{-1.600, 1, 2, 3}, {-0.297, 0, 4, 0}, {-0.881, 2, 6, 5}, {0.084, 1, 8, 7}, {-0.342, 3, 10, 9}, {0.108, 0, 11, 0}}};

}  // namespace

Plume::Plume(const PlumeSpec& spec, Length green, Rng rng) : rms_m_(green.m() * spec.rms_waves), up_(spec.up) {
  if (none()) return;
  for (std::size_t i = 0; i < kHump.size(); ++i) {
    wandering_.push_back(slow_wandering(spec.lasting, rng.child("mode", i)));
  }
}

LowOrders Plume::at(Duration t) const {
  LowOrders w;
  if (none()) return w;
  // Polynomials count their angle from the x axis towards y, which points down.
  const Angle direction = up_ - Angle::deg(90.0);
  for (std::size_t i = 0; i < kHump.size(); ++i) {
    const Mode& mode = kHump[i];
    const double amount = rms_m_ * mode.share * (1.0 + wandering_[i].at(t)) / std::numbers::sqrt2;
    w.noll(mode.cosine) += amount * cos(direction * mode.m);
    if (mode.sine != 0) w.noll(mode.sine) += amount * sin(direction * mode.m);
  }
  return w;
}

}  // namespace halfarc
