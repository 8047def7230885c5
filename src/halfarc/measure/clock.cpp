#include "halfarc/measure/clock.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace halfarc {
namespace {

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

struct Line {
  Measured<double> slope;
  double rms = 0.0;
};

Line fit_line(const std::vector<double>& n, const std::vector<double>& t) {
  const auto count = static_cast<double>(n.size());
  double mean_n = 0.0, mean_t = 0.0, nn = 0.0, nt = 0.0, squares = 0.0;
  for (std::size_t i = 0; i < n.size(); ++i) {
    mean_n += n[i] / count;
    mean_t += t[i] / count;
  }
  for (std::size_t i = 0; i < n.size(); ++i) {
    nn += (n[i] - mean_n) * (n[i] - mean_n);
    nt += (n[i] - mean_n) * (t[i] - mean_t);
  }
  Line line;
  line.slope.value = nt / nn;
  for (std::size_t i = 0; i < n.size(); ++i) {
    const double left = t[i] - mean_t - line.slope.value * (n[i] - mean_n);
    squares += left * left;
  }
  line.rms = std::sqrt(squares / std::max(1.0, count - 2.0));
  line.slope.sigma = line.rms / std::sqrt(nn);
  return line;
}

}  // namespace

std::optional<Clock> audit_clock(std::span<const Utc> times) {
  if (times.size() < 3) return std::nullopt;
  std::vector<double> intervals;
  for (std::size_t i = 1; i < times.size(); ++i) {
    const double step = (times[i] - times[i - 1]).s();
    if (step > 0.0) intervals.push_back(step);
  }
  if (intervals.empty()) return std::nullopt;
  const double usual = median(intervals);

  Clock clock;
  std::vector<double> numbers{0.0}, seconds{0.0};
  for (std::size_t i = 1; i < times.size(); ++i) {
    const double step = (times[i] - times[i - 1]).s();
    if (step == 0.0) ++clock.same_time;
    if (step < 0.0) ++clock.backwards;
    const double whole = std::max(1.0, std::round(step / usual));
    if (whole > 1.0) {
      clock.dropped += static_cast<std::size_t>(whole) - 1;
      ++clock.gaps;
      clock.longest_gap = std::max(clock.longest_gap, Duration::s(step));
    }
    numbers.push_back(numbers.back() + whole);
    seconds.push_back((times[i] - times[0]).s());
  }
  const Line line = fit_line(numbers, seconds);
  if (!(line.slope.value > 0.0)) return std::nullopt;
  clock.frames_per_second = {1.0 / line.slope.value, line.slope.sigma / (line.slope.value * line.slope.value)};
  clock.jitter = Duration::s(line.rms);
  const auto [first, last] = std::minmax_element(times.begin(), times.end());
  clock.start = *first;
  clock.end = *last;
  return clock;
}

std::optional<TimeDoubt> doubt_of_times(Utc end, Utc file_written) {
  constexpr double kAgrees = 180.0, kWhole = 45.0, kHour = 3600.0;
  constexpr int kFarthestZone = 14;
  const double ahead = (end - file_written).s();
  if (std::abs(ahead) <= kAgrees) return std::nullopt;
  const double hours = std::round(ahead / kHour);
  const double tolerance = ahead > 0.0 ? kAgrees : kWhole;
  const bool whole =
      std::abs(hours) >= 1.0 && std::abs(hours) <= kFarthestZone && std::abs(ahead - hours * kHour) <= tolerance;
  if (!whole && ahead < 0.0) return std::nullopt;
  return TimeDoubt{Duration::s(ahead), whole ? static_cast<int>(hours) : 0};
}

std::size_t repeated_pictures(const RecordingIndex& index) {
  std::size_t count = 0;
  for (std::size_t i = 1; i < index.frames.size(); ++i) {
    if (index.frames[i].fingerprint == index.frames[i - 1].fingerprint) ++count;
  }
  return count;
}

std::vector<double> seconds_of_frames(std::span<const Utc> times, std::size_t frames,
                                      std::optional<double> fallback_fps) {
  std::vector<double> seconds(frames);
  const auto clock = audit_clock(times);
  if (times.size() >= frames && clock && clock->backwards == 0 && clock->same_time == 0) {
    for (std::size_t i = 0; i < frames; ++i) seconds[i] = (times[i] - times[0]).s();
    return seconds;
  }
  double fps = 0.0;
  if (clock && times.size() >= 2) {  // times that stand still or jump: their ends still tell the rate
    fps = static_cast<double>(times.size() - 1) / (clock->end - clock->start).s();
  } else if (fallback_fps) {
    fps = *fallback_fps;
  }
  if (!(fps > 0.0)) return {};
  for (std::size_t i = 0; i < frames; ++i) seconds[i] = static_cast<double>(i) / fps;
  return seconds;
}

}  // namespace halfarc
