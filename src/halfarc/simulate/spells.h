// Spells: air that is better and worse in turn, and pulses of turbulence near the ground.
//
// The strength of the whole column wanders: ln r0 is normal with a standard deviation `spread`, forgotten within
// `lasting`, and so shifted that the mean of r0^(-5/3), which is what images of a long exposure feel, is the stated
// one. A pulsed layer (a warm wall, a road, a breath of wind over the roof) is there for a share of the time only, once
// in every stretch at a random moment, with soft edges. Valid: changes slower than the wind's crossing of the aperture;
// the whole column rises and falls as one. Accuracy: exact as stated, in the mean. Source: an invention; r0^(-5/3) adds
// up by [Roddier1981].
#pragma once

#include <optional>

#include "halfarc/base/duration.h"
#include "halfarc/base/random.h"
#include "halfarc/simulate/random_signal.h"

namespace halfarc {

struct Spells {
  double spread = 0.0;  // of ln r0
  Duration lasting = Duration::s(10.0);
};

class SpellCourse {
 public:
  SpellCourse(const Spells& spells, Rng rng);

  // r0 at a moment over the stated one, and what the path is multiplied by then: that to the power -5/6.
  double r0_factor(Duration t) const;
  double path_factor(Duration t) const;

 private:
  double spread_;
  std::optional<RandomSignal> signal_;  // none when the air is steady
};

struct Pulses {
  Duration every = Duration::s(20.0);
  double duty = 1.0;  // share of the time that the layer is there
};

// 0 to 1: what the layer's path is multiplied by. Valid: t >= 0. Accuracy: exact as stated.
double pulse_at(const Pulses& pulses, Duration t, const Rng& rng);

}  // namespace halfarc
