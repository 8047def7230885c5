#include "halfarc/air/settling.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace halfarc {
namespace {

// When the difference last came down through `within`, straight between two steps; nothing if it is above at the end.
std::optional<Duration> last_entry(const std::vector<CoolingStep>& course, TemperatureDifference within) {
  const auto excess = [&](std::size_t i) { return (abs(course[i].mirror_over_air()) - within).kelvin(); };
  std::size_t i = course.size();
  while (i > 0 && excess(i - 1) <= 0.0) --i;
  if (i == course.size()) return std::nullopt;
  if (i == 0) return Duration::s(0.0);
  const double share = excess(i - 1) / (excess(i - 1) - excess(i));
  return course[i - 1].time + share * (course[i].time - course[i - 1].time) - course.front().time;
}

// Whether the difference still shrinks by more than a tenth in a time constant.
bool still_settling(const std::vector<CoolingStep>& course, const TubeHeat& heat) {
  const TemperatureDifference now = abs(course.back().mirror_over_air());
  const Duration then = course.back().time - mirror_time_constant(heat, now);
  const auto before = std::find_if(course.begin(), course.end(), [&](const auto& step) { return step.time >= then; });
  return abs(before->mirror_over_air()) > 1.1 * now;
}

}  // namespace

TemperatureDifference lag_behind(const TubeHeat& heat, TemperatureDifference fall_per_hour) {
  const double watts = heat.mirror_j_per_k * std::abs(fall_per_hour.kelvin()) / 3600.0;
  // The heat passed grows with the difference, so the difference that passes these watts is found by halving.
  TemperatureDifference low, high = TemperatureDifference::kelvin(1.0);
  const auto passed = [&](TemperatureDifference d) {
    return (conductance_w_per_k(heat.mirror_to_tube, d) + conductance_w_per_k(heat.mirror_to_air, d)) * d.kelvin();
  };
  for (int i = 0; i < 60 && passed(high) < watts; ++i) high *= 2.0;
  for (int i = 0; i < 60; ++i) {
    const TemperatureDifference middle = 0.5 * (low + high);
    (passed(middle) < watts ? low : high) = middle;
  }
  return fall_per_hour.kelvin() < 0.0 ? -high : high;
}

Settling settle(const TubeHeat& heat, const TubeState& start, const Outside& outside, TemperatureDifference within,
                Duration from, Duration span) {
  const std::vector<CoolingStep> course = cool(heat, start, outside, from, span);
  Settling told;
  told.residual = course.back().mirror_over_air();
  told.lag = lag_behind(heat, -outside.air.per_hour(from + 0.5 * span, from + span));
  told.after = last_entry(course, within);
  if (told.after) return told;
  if (abs(told.lag) > within) {
    told.verdict = Settling::Verdict::falling_air;
  } else {
    told.verdict = still_settling(course, heat) ? Settling::Verdict::needs_longer : Settling::Verdict::cold_tube;
  }
  return told;
}

}  // namespace halfarc
