#include "halfarc/sky/rise_set.h"

#include <algorithm>

#include "halfarc/sky/figure.h"

namespace halfarc::sky {
namespace {

constexpr Duration kStep = Duration::hours(1.0);  // an altitude has one maximum and one minimum in a day
constexpr Duration kTolerance = Duration::s(0.05);

struct Sample {
  Utc at;
  double value = 0.0;  // rad
};

bool apart(double a, double b) { return (a < 0.0) != (b < 0.0); }

// Bisection, made quick by the secant (regula falsi with the Illinois rule).
Crossing root_between(const std::function<Angle(Utc)>& value, Sample a, Sample b) {
  const bool upward = a.value < 0.0;
  int last_side = 0;
  double wa = a.value, wb = b.value;
  for (int i = 1; b.at - a.at > kTolerance; ++i) {
    const double f = i % 4 == 0 ? 0.5 : std::clamp(wa / (wa - wb), 0.001, 0.999);
    Sample m{a.at + f * (b.at - a.at), 0.0};
    m.value = value(m.at).rad();
    const bool low = !apart(m.value, a.value);
    if (low) {
      a = m;
      wa = m.value;
      if (last_side == -1) wb *= 0.5;
      last_side = -1;
    } else {
      b = m;
      wb = m.value;
      if (last_side == 1) wa *= 0.5;
      last_side = 1;
    }
    if (std::abs(m.value) < 1e-9) return {m.at, upward};  // 0.2 milliarcsec
  }
  return {a.at + 0.5 * (b.at - a.at), upward};
}

// The extreme value near three samples whose middle one is the largest (or smallest), by golden section.
Sample extreme(const std::function<Angle(Utc)>& value, Utc low, Utc high, double sign) {
  constexpr double golden = 0.6180339887498949;  // data: (sqrt 5 - 1) / 2
  const auto sample = [&](Utc at) { return Sample{at, value(at).rad()}; };
  Sample a = sample(high - golden * (high - low)), b = sample(low + golden * (high - low));
  while (high - low > Duration::s(1.0)) {
    if (sign * a.value > sign * b.value) {
      high = b.at;
      b = a;
      a = sample(high - golden * (high - low));
    } else {
      low = a.at;
      a = b;
      b = sample(low + golden * (high - low));
    }
  }
  return sign * a.value > sign * b.value ? a : b;
}

}  // namespace

std::vector<Crossing> zero_crossings(const std::function<Angle(Utc)>& value, Utc from, Utc to, Duration step) {
  std::vector<Sample> samples;  // one more at either end, so that no turn escapes
  for (int i = -1;; ++i) {
    const Utc at = from + static_cast<double>(i) * step;
    samples.push_back({at, value(at).rad()});
    if (at > to) break;
  }
  // Where the curve turns towards zero and back between samples, put the turning point in.
  std::vector<Sample> dense;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    dense.push_back(samples[i]);
    if (i == 0 || i + 1 == samples.size()) continue;
    const double before = samples[i - 1].value, here = samples[i].value, after = samples[i + 1].value;
    if (apart(before, here) || apart(here, after)) continue;
    const double sign = here < 0.0 ? 1.0 : -1.0;
    if (sign * here < sign * before || sign * here < sign * after) continue;
    const Sample turn = extreme(value, samples[i - 1].at, samples[i + 1].at, sign);
    if (apart(turn.value, here)) dense.push_back(turn);
  }
  std::sort(dense.begin(), dense.end(), [](const Sample& a, const Sample& b) { return a.at < b.at; });
  std::vector<Crossing> crossings;
  for (std::size_t i = 1; i < dense.size(); ++i) {
    if (!apart(dense[i - 1].value, dense[i].value)) continue;
    const Crossing c = root_between(value, dense[i - 1], dense[i]);
    if (c.at >= from && c.at <= to) crossings.push_back(c);
  }
  return crossings;
}

Angle standard_altitude(Body body, const Place& place) {
  const Angle refraction = Angle::arcmin(34.0);
  if (body == Body::sun) return -refraction - Angle::arcmin(16.0);
  if (body == Body::moon) return -refraction - Angle::rad(std::asin(figure_of(body).equatorial / place.distance));
  return -refraction;
}

std::vector<SkyEvent> rise_transit_set(Body body, const Site& site, Utc from, Utc to) {
  std::vector<SkyEvent> events;
  const auto add = [&](SkyEventKind kind, Utc at) {
    const Place p = place_of(body, observe_from(site, at));
    events.push_back({kind, at, p.horizontal.azimuth, p.horizontal.altitude});
  };
  const auto above = [&](Utc t) {
    const Place p = place_of(body, observe_from(site, t));
    return p.horizontal.altitude - standard_altitude(body, p);
  };
  for (const auto& c : zero_crossings(above, from, to, kStep)) {
    add(c.upward ? SkyEventKind::rise : SkyEventKind::set, c.at);
  }
  const auto west = [&](Utc t) { return Angle::rad(sin(place_of(body, observe_from(site, t)).hour_angle)); };
  for (const auto& c : zero_crossings(west, from, to, kStep)) {
    if (c.upward) add(SkyEventKind::transit, c.at);  // downward is the lower transit
  }
  std::sort(events.begin(), events.end(), [](const SkyEvent& a, const SkyEvent& b) { return a.at < b.at; });
  return events;
}

std::vector<Crossing> altitude_crossings(Body body, const Site& site, Angle altitude, Utc from, Utc to) {
  const auto above = [&](Utc t) { return place_of(body, observe_from(site, t)).horizontal.altitude - altitude; };
  return zero_crossings(above, from, to, kStep);
}

}  // namespace halfarc::sky
