#include "halfarc/measure/fading.h"

#include <cmath>
#include <vector>

#include "halfarc/measure/time_line.h"

namespace halfarc {
namespace {

constexpr std::size_t kFewestFrames = 100;
constexpr double kShortest = 5.0;  // s
constexpr double kHour = 3600.0;   // s

}  // namespace

std::optional<Fading> fading_of(const RecordingIndex& index, std::span<const double> times) {
  std::vector<double> t, light;
  for (std::size_t i = 0; i < index.frames.size() && i < times.size(); ++i) {
    if (!index.frames[i].found || !(index.frames[i].flux > 0.0)) continue;
    t.push_back(times[i]);
    light.push_back(std::log(index.frames[i].flux));
  }
  if (t.size() < kFewestFrames || !(t.back() - t.front() >= kShortest)) return std::nullopt;
  const Measured<double> slope = fit_time_line(t, light).slope;
  return Fading{{slope.value * kHour, slope.sigma * kHour}};
}

}  // namespace halfarc
