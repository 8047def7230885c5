#include "halfarc/app/target_view.h"

#include <cmath>

#include "halfarc/sky/disc.h"
#include "halfarc/sky/field.h"
#include "halfarc/sky/galilean.h"
#include "halfarc/sky/observer.h"
#include "halfarc/sky/place.h"
#include "halfarc/sky/refraction.h"
#include "halfarc/sky/saturn_moons.h"
#include "halfarc/sky/saturn_ring.h"

namespace halfarc {
namespace {

// Of the ephemerides, at opposition (sky/galilean.h, sky/saturn_moons.h).
constexpr Angle kGalileanSigma = Angle::arcsec(0.08), kSaturnSigma = Angle::arcsec(0.3);

void add_moon(std::string_view name, const sky::MoonOffset& offset, Angle sigma, TargetView& view) {
  if (std::hypot(offset.x, offset.y) < 1.05) return;  // before the disc or behind it
  const Angle radius = view.equatorial_diameter * 0.5;
  const double c = cos(view.pole), s = sin(view.pole);  // x runs along the equator to the west, y to the pole
  view.moons.push_back(
      {std::string(name), radius * (offset.y * c + offset.x * s), radius * (offset.y * s - offset.x * c), sigma});
}

void add_moons(const sky::Place& place, const sky::Observer& observer, TargetView& view) {
  if (view.body == sky::Body::jupiter) {
    const auto offsets = sky::galilean_offsets(place, observer);
    for (std::size_t i = 0; i < offsets.size(); ++i)
      add_moon(name_of(static_cast<sky::GalileanMoon>(i)), offsets[i], kGalileanSigma, view);
  }
  if (view.body == sky::Body::saturn) {
    const auto offsets = sky::saturn_moon_offsets(place, observer);
    for (const sky::SaturnMoon moon : sky::kSaturnMoons) {
      if (moon == sky::SaturnMoon::hyperion) continue;  // known to an arcsecond only
      add_moon(name_of(moon), offsets[static_cast<std::size_t>(moon)], kSaturnSigma, view);
    }
  }
}

}  // namespace

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
  add_moons(place, observer, view);
  return view;
}

}  // namespace halfarc
