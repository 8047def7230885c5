#include "halfarc/measure/drift_cause.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace halfarc {
namespace {

constexpr double kLikeTheSky = 0.15;     // a mount that stands still drifts by the sky's rate within this
constexpr double kStandsOut = 3.0;       // sigmas
constexpr double kSlowest = 0.02;        // arcseconds a second: less is nobody's concern
constexpr double kShortestForWave = 60;  // seconds

struct Place {
  double t, x, y;
};

// One mean place a second, steps and drift taken off.
std::vector<Place> track_of(const RecordingIndex& index, std::span<const double> times, const Motion& motion) {
  std::vector<Place> track;
  double sum_x = 0.0, sum_y = 0.0, sum_t = 0.0, count = 0.0, second = -1.0;
  PixelOffset stepped;
  std::size_t next = 0;
  for (std::size_t i = 0; i < index.frames.size() && i < times.size(); ++i) {
    while (next < motion.steps.size() && motion.steps[next].frame <= i) stepped = stepped + motion.steps[next++].by;
    if (!index.frames[i].found) continue;
    const double now = std::floor(times[i] - times.front());
    if (now != second && count > 0.0) {
      track.push_back({sum_t / count, sum_x / count, sum_y / count});
      sum_x = sum_y = sum_t = count = 0.0;
    }
    second = now;
    const double t = times[i] - times.front();
    sum_t += t;
    sum_x += index.frames[i].centroid.x - stepped.x - motion.drift_x.value * t;
    sum_y += index.frames[i].centroid.y - stepped.y - motion.drift_y.value * t;
    count += 1.0;
  }
  return track;
}

// Half the swing and the share of the variance that a wave of this period takes away.
struct Swing {
  double amplitude = 0.0, share = 0.0;
};
Swing swing_of(const std::vector<Place>& track, double Place::*axis, double period) {
  const auto n = static_cast<double>(track.size());
  double mean = 0.0;
  for (const Place& p : track) mean += p.*axis / n;
  double c = 0.0, s = 0.0, all = 0.0;
  for (const Place& p : track) {
    const double angle = 2.0 * std::numbers::pi * p.t / period, v = p.*axis - mean;
    c += 2.0 / n * v * std::cos(angle);
    s += 2.0 / n * v * std::sin(angle);
    all += v * v / n;
  }
  const double amplitude = std::hypot(c, s);
  return {amplitude, all > 0.0 ? 0.5 * amplitude * amplitude / all : 0.0};
}

}  // namespace

SkyDrift split_drift(const Motion& motion, PlateScale scale, Measured<Angle> zenith, bool mirrored) {
  const PixelOffset up = step_towards(zenith.value);
  const double side = mirrored ? -1.0 : 1.0;
  const PixelOffset right{-up.y * side, up.x * side};
  const double s = scale.arcsec_per_px();
  const auto along = [&](PixelOffset axis) {
    return s * (motion.drift_x.value * axis.x + motion.drift_y.value * axis.y);
  };
  const double up_rate = along(up), right_rate = along(right);
  const auto sigma = [&](PixelOffset axis, double other) {
    return std::hypot(s * motion.drift_x.sigma * axis.x, s * motion.drift_y.sigma * axis.y, other * zenith.sigma.rad());
  };
  return {{up_rate, sigma(up, right_rate)}, {right_rate, sigma(right, up_rate)}};
}

std::optional<Wave> find_wave(const RecordingIndex& index, std::span<const double> times, const Motion& motion) {
  if (motion.span.s() < kShortestForWave || times.empty()) return std::nullopt;
  const std::vector<Place> track = track_of(index, times, motion);
  if (track.size() < 20) return std::nullopt;
  Wave best;
  double most = 0.5;
  const double longest = 0.5 * motion.span.s();
  for (double period = 5.0; period <= longest; period *= 1.02) {
    for (double Place::*axis : {&Place::x, &Place::y}) {
      const Swing swing = swing_of(track, axis, period);
      if (swing.share > most) {
        most = swing.share;
        best = {Duration::s(period), swing.amplitude};
      }
    }
  }
  if (most <= 0.5) return std::nullopt;
  return best;
}

DriftCause cause_of(const Motion& motion, PlateScale scale, double sky_rate, const std::optional<Wave>& wave) {
  const double rate = scale.arcsec_per_px() * std::hypot(motion.drift_x.value, motion.drift_y.value);
  const double sigma = scale.arcsec_per_px() * std::max(motion.drift_x.sigma, motion.drift_y.sigma);
  if (sky_rate > 0.0 && rate > kStandsOut * sigma && std::abs(rate / sky_rate - 1.0) < kLikeTheSky)
    return DriftCause::not_tracking;
  if (!motion.steps.empty()) return DriftCause::steps;
  if (wave) return DriftCause::wave;
  return rate > kStandsOut * sigma && rate > kSlowest ? DriftCause::slow : DriftCause::none;
}

std::string in_words(DriftCause cause) {
  switch (cause) {
    case DriftCause::none:
      break;
    case DriftCause::not_tracking:
      return "as fast as the sky itself: the mount is not tracking";
    case DriftCause::steps:
      return "sudden steps: a key was pressed, or backlash let go";
    case DriftCause::wave:
      return "a wave that comes back: a gear of the drive";
    case DriftCause::slow:
      return "slow and steady: the mount's level or alignment, or the mirror still settling";
  }
  return {};
}

std::string name_of(DriftCause cause) {
  switch (cause) {
    case DriftCause::none:
      break;
    case DriftCause::not_tracking:
      return "not tracking";
    case DriftCause::steps:
      return "steps";
    case DriftCause::wave:
      return "wave";
    case DriftCause::slow:
      return "slow";
  }
  return "none";
}

}  // namespace halfarc
