#include "halfarc/simulate/frame_clock.h"

#include <algorithm>

namespace halfarc {

std::vector<std::size_t> exposures_kept(const FrameClock& clock, std::size_t frames, Rng rng) {
  // In the long run a share d is lost if gaps of mean length n begin after a kept frame with chance d / (n (1 - d)).
  const double gap_begins = clock.dropped / (clock.lost_in_a_row * (1.0 - clock.dropped));
  const double gap_goes_on = 1.0 - 1.0 / clock.lost_in_a_row;
  std::vector<std::size_t> kept;
  kept.reserve(frames);
  bool lost = false;
  for (std::size_t exposure = 0; kept.size() < frames; ++exposure) {
    if (exposure > 0) lost = rng.child("exposure", exposure).uniform() < (lost ? gap_goes_on : gap_begins);
    if (!lost) kept.push_back(exposure);
  }
  return kept;
}

Duration clock_error(const FrameClock& clock, Duration interval, Rng rng) {
  if (clock.jitter.s() == 0.0) return {};
  const double limit = 0.49 * interval.s();
  return Duration::s(std::clamp(clock.jitter.s() * rng.normal(), -limit, limit));
}

}  // namespace halfarc
