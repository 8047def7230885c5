#include "halfarc/app/target_view.h"

#include <cmath>

#include "halfarc/sky/disc.h"
#include "halfarc/sky/field.h"
#include "halfarc/sky/observer.h"
#include "halfarc/sky/place.h"
#include "halfarc/sky/refraction.h"
#include "halfarc/sky/saturn_ring.h"

namespace halfarc {

TargetView target_view(sky::Body body, const sky::Site& site, Utc utc) {
  const sky::Observer observer = sky::observe_from(site, utc);
  const sky::Place place = sky::place_of(body, observer);
  const sky::Disc disc = sky::disc_of(body, place, observer);
  TargetView view;
  view.body = body;
  view.equatorial_diameter = disc.equatorial_diameter;
  view.shape.polar_ratio = disc.polar_diameter / disc.equatorial_diameter;
  view.shape.phase = disc.phase_angle;
  view.shape.sun_from_pole = wrap_signed(disc.bright_limb - disc.pole_angle);
  view.pole = disc.pole_angle;
  view.parallactic = sky::parallactic_angle(place.hour_angle, place.apparent.dec, site.latitude);
  view.declination = place.apparent.dec;
  view.altitude =
      place.horizontal.altitude + sky::refraction(place.horizontal.altitude, sky::usual_weather(site.height));
  view.site_height = site.height;
  if (view.altitude > Angle()) view.airmass = sky::airmass(view.altitude);
  view.sky_rate = sky::kSiderealRate.rad_per_s() / Angle::kRadPerArcsec * cos(view.declination);
  if (body == sky::Body::saturn) {
    RingOutline ring;
    ring.tilt = sky::saturn_ring(place, disc, observer).tilt;
    view.shape.ring = ring;
  }
  return view;
}

}  // namespace halfarc
