#include "halfarc/measure/defocus_contrast.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace halfarc {

double defocus_contrast(double obstruction, double share, double waves) {
  using std::numbers::pi;
  constexpr int kSteps = 400;
  const double s = 2.0 * std::abs(share);  // in pupil radii
  if (s >= 2.0) return 0.0;
  const auto half_chord = [](double radius, double x) { return std::sqrt(std::max(0.0, radius * radius - x * x)); };
  const double reach = 1.0 - 0.5 * s;
  const double step = 2.0 * reach / kSteps;
  double sum = 0.0;
  for (int i = 0; i < kSteps; ++i) {
    const double x = -reach + (i + 0.5) * step;
    const double left = x - 0.5 * s, right = x + 0.5 * s;
    const double outer = std::min(half_chord(1.0, left), half_chord(1.0, right));
    const double inner = std::max(half_chord(obstruction, left), half_chord(obstruction, right));
    sum += 2.0 * std::max(0.0, outer - inner) * std::cos(4.0 * pi * waves * s * x) * step;
  }
  return sum / (pi * (1.0 - obstruction * obstruction));
}

}  // namespace halfarc
