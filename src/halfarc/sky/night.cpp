#include "halfarc/sky/night.h"

#include <algorithm>

namespace halfarc::sky {
namespace {

DarkSpan span_of(const std::vector<Crossing>& crossings) {
  DarkSpan span;
  for (const Crossing& c : crossings) {
    if (!c.upward && !span.begins) span.begins = c.at;
    if (c.upward) span.ends = c.at;
  }
  return span;
}

Duration behind_greenwich(const Site& site) { return Duration::hours(-site.longitude.deg() / 15.0); }

Utc start_of_day(Utc t) {
  const auto c = t.civil();
  const auto day = Utc::civil(c.year, c.month, c.day);
  return day ? *day : t;
}

}  // namespace

Utc noon_of(Utc date, const Site& site) { return start_of_day(date) + Duration::hours(12.0) + behind_greenwich(site); }

Utc noon_before_tonight(Utc now, const Site& site) {
  const Utc local = now - behind_greenwich(site);
  const Utc noon_today = noon_of(local, site);
  if (now >= noon_today) return noon_today;
  // A morning: has the Sun come up since midnight?
  const Utc midnight = noon_today - Duration::hours(12.0);
  for (const auto& e : rise_transit_set(Body::sun, site, midnight, noon_today)) {
    if (e.kind == SkyEventKind::rise && e.at <= now) return noon_today;
  }
  const bool up = place_of(Body::sun, observe_from(site, now)).horizontal.altitude > Angle::deg(-0.83);
  return up ? noon_today : noon_today - Duration::days(1.0);
}

Night night_of(const NightTrack& track) {
  Night n;
  n.noon_before = track.from();
  n.noon_after = track.to();
  n.sun_down = span_of(track.altitude_crossings(Body::sun, Angle::arcmin(-50.0)));
  n.civil = span_of(track.altitude_crossings(Body::sun, kCivilTwilight));
  n.nautical = span_of(track.altitude_crossings(Body::sun, kNauticalTwilight));
  n.astronomical = span_of(track.altitude_crossings(Body::sun, kAstronomicalTwilight));
  n.lowest_sun = Angle::deg(90.0);
  n.highest_sun = Angle::deg(-90.0);
  for (Utc t = track.from(); t <= track.to(); t = t + Duration::minutes(10.0)) {
    const Angle h = track.horizontal(Body::sun, t).altitude;
    if (h < n.lowest_sun) {
      n.lowest_sun = h;
      n.darkest = t;
    }
    n.highest_sun = std::max(n.highest_sun, h);
  }
  return n;
}

}  // namespace halfarc::sky
