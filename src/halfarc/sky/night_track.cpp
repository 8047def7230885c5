#include "halfarc/sky/night_track.h"

#include <erfa.h>

#include <algorithm>
#include <cmath>

#include "halfarc/sky/figure.h"
#include "halfarc/sky/place.h"

namespace halfarc::sky {
namespace {

constexpr Duration kStep = Duration::minutes(30.0);
constexpr Duration kSearchStep = Duration::hours(1.0);

// The angle that continues from `before` instead of jumping by a turn.
double continued(double angle, double before) { return before + wrap_signed(Angle::rad(angle - before)).rad(); }

}  // namespace

NightTrack::NightTrack(const Site& site, Utc from, Utc to, std::span<const Body> bodies)
    : site_(site), from_(from), to_(to), start_(from - 2.0 * kSearchStep) {
  // Two hours more at either end: the search for crossings looks one step beyond, and the cubics one node.
  const auto count = static_cast<int>(std::ceil((to + 2.0 * kSearchStep - start_) / kStep)) + 2;
  for (int i = 0; i < count; ++i) {
    const Observer observer = observe_from(site, start_ + static_cast<double>(i) * kStep);
    for (const Body body : kAllBodies) {
      if (body != Body::sun && std::find(bodies.begin(), bodies.end(), body) == bodies.end()) continue;
      const Place p = place_of(body, observer);
      auto& nodes = nodes_[static_cast<std::size_t>(body)];
      Node node{p.hour_angle.rad(), p.apparent.dec.rad(), p.apparent.ra.rad(), p.distance.m()};
      if (!nodes.empty()) {
        node.hour_angle = continued(node.hour_angle, nodes.back().hour_angle);
        node.right_ascension = continued(node.right_ascension, nodes.back().right_ascension);
      }
      nodes.push_back(node);
    }
  }
}

NightTrack::Node NightTrack::read(Body body, Utc at) const {
  const auto& nodes = nodes_[static_cast<std::size_t>(body)];
  if (nodes.empty()) return {};
  const double s = (at - start_) / kStep;
  const double first = std::clamp(std::floor(s) - 1.0, 0.0, static_cast<double>(nodes.size()) - 4.0);
  const auto k = static_cast<std::size_t>(first);
  const double u = s - first;  // 1 to 2 within the middle interval
  const std::array weight = {-(u - 1.0) * (u - 2.0) * (u - 3.0) / 6.0, u * (u - 2.0) * (u - 3.0) / 2.0,
                             -u * (u - 1.0) * (u - 3.0) / 2.0, u * (u - 1.0) * (u - 2.0) / 6.0};
  Node sum;
  for (std::size_t i = 0; i < 4; ++i) {
    const Node& n = nodes[k + i];
    sum.hour_angle += weight[i] * n.hour_angle;
    sum.declination += weight[i] * n.declination;
    sum.right_ascension += weight[i] * n.right_ascension;
    sum.distance_m += weight[i] * n.distance_m;
  }
  return sum;
}

Equatorial NightTrack::apparent(Body body, Utc at) const {
  const Node n = read(body, at);
  return {wrap_positive(Angle::rad(n.right_ascension)), Angle::rad(n.declination)};
}

Angle NightTrack::hour_angle(Body body, Utc at) const { return wrap_signed(Angle::rad(read(body, at).hour_angle)); }

Horizontal NightTrack::horizontal(Body body, Utc at) const {
  const Node n = read(body, at);
  double azimuth = 0.0, altitude = 0.0;
  eraHd2ae(n.hour_angle, n.declination, site_.latitude.rad(), &azimuth, &altitude);
  return {Angle::rad(azimuth), Angle::rad(altitude)};
}

Length NightTrack::distance(Body body, Utc at) const { return Length::m(read(body, at).distance_m); }

Angle NightTrack::separation(Body a, Body b, Utc at) const {
  const Equatorial pa = apparent(a, at), pb = apparent(b, at);
  return angle_between(direction(pa.ra, pa.dec), direction(pb.ra, pb.dec));
}

std::vector<SkyEvent> NightTrack::rise_transit_set(Body body) const {
  std::vector<SkyEvent> events;
  const auto add = [&](SkyEventKind kind, Utc at) {
    const Horizontal h = horizontal(body, at);
    events.push_back({kind, at, h.azimuth, h.altitude});
  };
  const auto above = [&](Utc t) {
    Place p;
    p.distance = distance(body, t);
    return horizontal(body, t).altitude - standard_altitude(body, p);
  };
  for (const Crossing& c : zero_crossings(above, from_, to_, kSearchStep)) {
    add(c.upward ? SkyEventKind::rise : SkyEventKind::set, c.at);
  }
  const auto west = [&](Utc t) { return Angle::rad(sin(hour_angle(body, t))); };
  for (const Crossing& c : zero_crossings(west, from_, to_, kSearchStep)) {
    if (c.upward) add(SkyEventKind::transit, c.at);
  }
  std::sort(events.begin(), events.end(), [](const SkyEvent& a, const SkyEvent& b) { return a.at < b.at; });
  return events;
}

std::vector<Crossing> NightTrack::altitude_crossings(Body body, Angle altitude) const {
  return zero_crossings([&](Utc t) { return horizontal(body, t).altitude - altitude; }, from_, to_, kSearchStep);
}

}  // namespace halfarc::sky
