#include "halfarc/air/time_constant.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>

namespace halfarc {
namespace {

// The course at one time constant: first temperature times `memory` plus `driven`, both by reading.
struct Course {
  std::vector<double> memory;
  std::vector<double> driven;
};

Course course(const std::vector<TubeReading>& readings, double tau_s) {
  Course c{{1.0}, {0.0}};
  for (std::size_t i = 1; i < readings.size(); ++i) {
    const double step = (readings[i].time - readings[i - 1].time).s();
    const double kept = std::exp(-step / tau_s);
    const double air_before = readings[i - 1].air.kelvin();
    const double air_after = readings[i].air.kelvin();
    const double lag = (air_after - air_before) / step * tau_s;  // behind air that changes steadily
    c.memory.push_back(c.memory.back() * kept);
    c.driven.push_back(air_after - lag + (c.driven.back() - air_before + lag) * kept);
  }
  return c;
}

struct Fit {
  double first_kelvin = 0.0;
  double squares = 0.0;
};

// The best first temperature for a time constant, in closed form, and what is left.
Fit fit_first(const std::vector<TubeReading>& readings, const Course& c) {
  double norm = 0.0, dot = 0.0;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    norm += c.memory[i] * c.memory[i];
    dot += c.memory[i] * (readings[i].mirror.kelvin() - c.driven[i]);
  }
  Fit fit{dot / norm, 0.0};
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const double off = readings[i].mirror.kelvin() - c.driven[i] - fit.first_kelvin * c.memory[i];
    fit.squares += off * off;
  }
  return fit;
}

// The variance of ln tau for a unit variance of the readings, from the slopes of the course.
double unit_variance(const std::vector<TubeReading>& readings, double log_tau, double first_kelvin) {
  constexpr double kStep = 1e-4;
  const Course at = course(readings, std::exp(log_tau));
  const Course below = course(readings, std::exp(log_tau - kStep));
  const Course above = course(readings, std::exp(log_tau + kStep));
  double ff = 0.0, ft = 0.0, tt = 0.0;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const double by_first = at.memory[i];
    const double by_tau =
        ((above.memory[i] - below.memory[i]) * first_kelvin + above.driven[i] - below.driven[i]) / (2.0 * kStep);
    ff += by_first * by_first;
    ft += by_first * by_tau;
    tt += by_tau * by_tau;
  }
  return 1.0 / (tt - ft * ft / ff);
}

Result<void> check(const std::vector<TubeReading>& readings, TemperatureDifference reading_error) {
  if (readings.size() < 3) return bad_input("a time constant needs at least three readings", {}, "read once more");
  TemperatureDifference largest;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    if (i > 0 && !(readings[i].time > readings[i - 1].time)) {
      return bad_input("its time is not after the one before", "reading " + std::to_string(i + 1),
                       "put the readings in order of time");
    }
    largest = std::max(largest, abs(readings[i].mirror - readings[i].air));
  }
  if (!(largest > 5.0 * reading_error)) {
    return bad_input("the mirror was never far enough from the air to watch it cool", {},
                     "start reading when the telescope comes out of the house");
  }
  return {};
}

}  // namespace

Result<Measured<Duration>> fit_time_constant(const std::vector<TubeReading>& readings,
                                             TemperatureDifference reading_error) {
  HALFARC_CHECK(check(readings, reading_error));
  const auto squares = [&](double log_tau) { return fit_first(readings, course(readings, std::exp(log_tau))).squares; };

  // A walk in even ratios finds the valley, a golden section its bottom.
  constexpr int kWalk = 120;
  const double lowest = std::log(60.0);
  const double highest = std::log(5.0 * (readings.back().time - readings.front().time).s());
  const double ratio = (highest - lowest) / kWalk;
  int best = 0;
  for (int i = 1; i <= kWalk; ++i) {
    if (squares(lowest + ratio * i) < squares(lowest + ratio * best)) best = i;
  }
  if (!(ratio > 0.0) || best == 0 || best == kWalk) {
    return bad_input("these readings show no mirror coming towards the air at a steady rate", {},
                     "read for longer, and keep the telescope in one place");
  }
  double low = lowest + ratio * (best - 1), high = lowest + ratio * (best + 1);
  constexpr double kGolden = 0.6180339887498949;
  for (int i = 0; i < 40; ++i) {
    const double left = high - kGolden * (high - low), right = low + kGolden * (high - low);
    if (squares(left) < squares(right)) {
      high = right;
    } else {
      low = left;
    }
  }
  const double log_tau = 0.5 * (low + high);

  const Fit fit = fit_first(readings, course(readings, std::exp(log_tau)));
  const double scatter = fit.squares / static_cast<double>(readings.size() - 2);
  const double variance = std::max(scatter, reading_error.kelvin() * reading_error.kelvin());
  const Duration tau = Duration::s(std::exp(log_tau));
  return Measured<Duration>{tau, tau * std::sqrt(variance * unit_variance(readings, log_tau, fit.first_kelvin))};
}

}  // namespace halfarc
