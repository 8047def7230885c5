#include "halfarc/budget/blur.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace halfarc {
namespace {

constexpr int kDirections = 12;  // over half a turn: opposite directions keep the same contrast

struct CauseWords {
  std::string_view name, words, remedy;
};

CauseWords cause_words(Cause cause) {
  switch (cause) {
    case Cause::diffraction:
      return {"diffraction", "diffraction", ""};
    case Cause::pixels:
      return {"pixels", "pixels", "a longer focal length: more amplifier or more spacing"};
    case Cause::air:
      return {"air", "moving air", "wait for a calmer spell, keep fewer frames, or record higher up"};
    case Cause::tube_heat:
      return {"tube_heat", "tube heat", "let it cool: fan, or wait"};
    case Cause::collimation:
      return {"collimation", "collimation", "turn the collimation screws"};
    case Cause::focus:
      return {"focus", "focus", "turn the focus knob"};
    case Cause::corrector:
      return {"corrector", "dispersion corrector", "put it where the cone is slimmer: behind the amplifier"};
    case Cause::dispersion_between:
      return {"dispersion_between", "dispersion between colours", "set the levers"};
    case Cause::dispersion_inside:
      return {"dispersion_inside", "dispersion inside each colour", "set the levers"};
    case Cause::exposure:
      return {"exposure", "motion during an exposure", "a shorter exposure"};
    case Cause::spin:
      return {"spin", "spin during the run", "a shorter run"};
    case Cause::field_rotation:
      return {"field_rotation", "turning of the field", "a shorter run"};
    case Cause::registration:
      return {"registration", "registration", ""};
    case Cause::noise:
      return {"noise", "noise", "more frames, or more light in each"};
  }
  return {};
}

}  // namespace

std::string_view name_of(Cause cause) { return cause_words(cause).name; }
std::string_view words_of(Cause cause) { return cause_words(cause).words; }
std::string_view remedy_of(Cause cause) { return cause_words(cause).remedy; }

double mean_over_directions(const TransferFunction& transfer, SpatialFrequency frequency) {
  double sum = 0.0;
  for (int k = 0; k < kDirections; ++k) {
    const double angle = std::numbers::pi * (k + 0.5) / kDirections;
    sum += transfer({frequency * std::cos(angle), frequency * std::sin(angle)});
  }
  return sum / kDirections;
}

Measured<double> half_arc_contrast(const Blur& blur) {
  const double middle = mean_over_directions(blur.transfer, kHalfArc);
  double variance = 0.0;
  for (const TransferFunction& moved : blur.moved)
    variance += std::pow(mean_over_directions(moved, kHalfArc) - middle, 2);
  return {middle, std::sqrt(variance)};
}

Angle equivalent_fwhm(double half_arc_contrast) {
  const double kept = std::clamp(half_arc_contrast, 1e-4, 1.0);
  return kHalfArc.period() * (std::sqrt(-4.0 * std::numbers::ln2 * std::log(kept)) / std::numbers::pi);
}

}  // namespace halfarc
