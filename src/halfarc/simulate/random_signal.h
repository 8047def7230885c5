// RandomSignal: a number that wanders at random with a given power spectrum, known at every moment.
//
// The power is cut into as many equal shares as there are waves; each wave has a frequency drawn within its share and
// normal amplitudes of sine and cosine. The sum is normal with variance 1, has the spectrum in the mean, and can be
// asked for any moment in any order, as frames made in parallel need.
// Valid: spans shorter than (waves / bandwidth), after which a sum of waves is no longer random. Accuracy: spectrum
// and variance exact in the mean over seeds; one draw of n waves has a variance within sqrt(2/n).
// Source: [Shinozuka1972] (sum of waves).
#pragma once

#include <functional>
#include <vector>

#include "halfarc/base/duration.h"
#include "halfarc/base/random.h"

namespace halfarc {

class RandomSignal {
 public:
  // `frequency_below_which(q)`: in cycles per second, below which the share q of the power lies, 0 < q < 1.
  RandomSignal(const std::function<double(double)>& frequency_below_which, int waves, Rng rng);

  double at(Duration t) const;

 private:
  struct Wave {
    double radians_per_s, cosine, sine;
  };
  std::vector<Wave> waves_;
};

// A wandering that is forgotten within `time`: correlation exp(-|t| / time), spectrum ~ 1 / (1 + (2 pi f time)^2).
// Valid: time > 0. Accuracy: as above. Source: [Shinozuka1972].
RandomSignal slow_wandering(Duration time, Rng rng);

}  // namespace halfarc
