#include "halfarc/simulate/random_signal.h"

#include <cmath>
#include <numbers>

namespace halfarc {

using std::numbers::pi;

RandomSignal::RandomSignal(const std::function<double(double)>& frequency_below_which, int waves, Rng rng) {
  const double sigma = std::sqrt(1.0 / waves);
  for (int i = 0; i < waves; ++i) {
    const double frequency = frequency_below_which((i + rng.uniform()) / waves);
    const double cosine = sigma * rng.normal();
    const double sine = sigma * rng.normal();
    waves_.push_back({2.0 * pi * frequency, cosine, sine});
  }
}

double RandomSignal::at(Duration t) const {
  double sum = 0.0;
  for (const Wave& w : waves_) {
    const double phase = w.radians_per_s * t.s();
    sum += w.cosine * std::cos(phase) + w.sine * std::sin(phase);
  }
  return sum;
}

RandomSignal slow_wandering(Duration time, Rng rng) {
  constexpr int waves = 96;
  return RandomSignal([time](double q) { return std::tan(0.5 * pi * q) / (2.0 * pi * time.s()); }, waves, rng);
}

}  // namespace halfarc
