// Plume: warm air that rises inside the tube and flows along its upper side.
//
// It is slow and knows up and down: the path is shorter along the upper edge of the pupil. That shape, a smooth hump on
// the upper edge, has tilt, astigmatism, trefoil and defocus in fixed shares; a half of the strength stands still, the
// other half wanders, each mode by itself, and is forgotten within `lasting`. Strength is the rms over the pupil
// without the tilt. Valid: a tube warmer than the air by some kelvin. Accuracy: the shares are those of a hump
// exp(-((1 - up) / 0.45)^2 / 2 - (across / 0.6)^2 / 2), radius 1, projected on [Noll1976]; its strength is invented.
#pragma once

#include <array>
#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/length.h"
#include "halfarc/base/random.h"
#include "halfarc/simulate/low_orders.h"
#include "halfarc/simulate/random_signal.h"

namespace halfarc {

struct PlumeSpec {
  double rms_waves = 0.0;  // of green
  Duration lasting = Duration::s(4.0);
  Angle up;  // where up is on the image, clockwise from its own up
};

class Plume {
 public:
  Plume(const PlumeSpec& spec, Length green, Rng rng);

  // Valid: any time. Accuracy: exact as stated.
  LowOrders at(Duration t) const;

  bool none() const { return rms_m_ == 0.0; }

 private:
  double rms_m_;
  Angle up_;
  std::vector<RandomSignal> wandering_;  // one a mode
};

}  // namespace halfarc
