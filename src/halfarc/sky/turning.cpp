#include "halfarc/sky/turning.h"

#include <algorithm>
#include <array>

#include "halfarc/sky/disc.h"
#include "halfarc/sky/field.h"
#include "halfarc/sky/figure.h"

namespace halfarc::sky {
namespace {

struct Snapshot {
  Angle longitude, latitude, from_zenith, from_north, diameter, sun_longitude, sun_latitude;
};

Angle east(Body body, Angle longitude) { return counts_longitude_eastward(body) ? longitude : -longitude; }

Snapshot snapshot(Body body, LongitudeSystem system, const Site& site, Utc at) {
  const Observer o = observe_from(site, at);
  const Place p = place_of(body, o);
  const Disc d = disc_of(body, p, o);
  Snapshot s;
  s.longitude = east(body, d.sub_observer.in(system).value_or(Angle()));
  s.latitude = d.sub_observer.planetocentric_latitude;
  s.from_north = d.pole_angle;
  s.from_zenith = parallactic_angle(p.hour_angle, p.apparent.dec, site.latitude) - d.pole_angle;
  s.diameter = d.equatorial_diameter;
  s.sun_longitude = wrap_signed(east(body, d.sub_solar.in(system).value_or(Angle())) - s.longitude);
  s.sun_latitude = d.sub_solar.planetocentric_latitude;
  return s;
}

// `whole` is what is known beforehand of the change from one instant to the next, so that turns are not lost.
TurningAngle through(const std::array<Snapshot, 3>& s, Angle Snapshot::*member, Duration step, Angle whole = Angle()) {
  const Angle before = -whole + wrap_signed(s[0].*member - s[1].*member + whole);
  const Angle after = whole + wrap_signed(s[2].*member - s[1].*member - whole);
  return {s[1].*member, AngularRate::rad_per_s((after - before).rad() / (2.0 * step.s())),
          (after + before).rad() / (step.s() * step.s())};
}

}  // namespace

RotationModel rotation_model(Body body, LongitudeSystem system, const Site& site, Utc reference, Duration half_span) {
  const auto systems = systems_of(body);
  if (std::find(systems.begin(), systems.end(), system) == systems.end()) system = systems.front();
  const Duration step = std::clamp(half_span, Duration::minutes(1.0), Duration::hours(3.0));
  const std::array seen = {snapshot(body, system, site, reference - step), snapshot(body, system, site, reference),
                           snapshot(body, system, site, reference + step)};
  const Figure figure = figure_of(body);
  RotationModel m;
  m.reference = reference;
  m.central_east_longitude = through(seen, &Snapshot::longitude, step, -(spin_rate(body, system) * step));
  m.sub_observer_latitude = through(seen, &Snapshot::latitude, step);
  m.pole_from_zenith = through(seen, &Snapshot::from_zenith, step);
  m.pole_from_north = through(seen, &Snapshot::from_north, step);
  m.equatorial_diameter = through(seen, &Snapshot::diameter, step);
  m.polar_over_equatorial = figure.polar / figure.equatorial;
  m.sun_from_centre_longitude = through(seen, &Snapshot::sun_longitude, step);
  m.sub_solar_latitude = through(seen, &Snapshot::sun_latitude, step);
  return m;
}

}  // namespace halfarc::sky
