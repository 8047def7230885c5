#include "halfarc/sky/saturn_ring.h"

#include <algorithm>
#include <cmath>

#include "halfarc/sky/figure.h"

namespace halfarc::sky {

std::optional<Angle> ring_shadow_latitude(Length edge, Angle sun_tilt) {
  // Stretched along its axis the globe is a sphere; the ring's plane stays, the Sun's latitude grows. On the sphere the
  // ray that grazes the edge meets latitude -(asin(r sin B') - B').
  const Figure globe = figure_of(Body::saturn);
  const double squash = globe.polar / globe.equatorial;
  const double b = std::atan(tan(sun_tilt) / squash);
  const double s = edge / globe.equatorial * std::sin(b);
  if (std::abs(s) > 1.0) return std::nullopt;
  return Angle::rad(-std::atan(squash * std::tan(std::asin(s) - b)));
}

SaturnRing saturn_ring(const Place& saturn, const Disc& disc, const Observer& observer) {
  SaturnRing r;
  r.tilt = disc.sub_observer.planetocentric_latitude;
  r.sun_tilt = disc.sub_solar.planetocentric_latitude;
  const auto longitude = [](const SubPoint& p) { return p.in(LongitudeSystem::three).value_or(Angle()); };
  r.longitude_lead = wrap_signed(longitude(disc.sub_observer) - longitude(disc.sub_solar));  // west longitudes
  r.pole_angle = disc.pole_angle;
  r.major_axis = 2.0 * Angle::rad(std::asin(kOuterEdgeOfA / saturn.distance));
  r.minor_axis = std::abs(sin(r.tilt)) * r.major_axis;
  r.lit_face_seen = (r.tilt.rad() > 0.0) == (r.sun_tilt.rad() > 0.0);
  r.globe_shadow = position_angle(saturn.from_observer, saturn.from_sun, observer);
  r.shadow_of_inner_edge = ring_shadow_latitude(kInnerEdgeOfB, r.sun_tilt);
  r.shadow_of_outer_edge = ring_shadow_latitude(kOuterEdgeOfA, r.sun_tilt);
  return r;
}

}  // namespace halfarc::sky
