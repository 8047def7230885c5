#include "halfarc/app/where_body.h"

#include "halfarc/sky/field.h"
#include "halfarc/sky/galilean.h"
#include "halfarc/sky/magnitude.h"
#include "halfarc/sky/refraction.h"
#include "halfarc/sky/saturn_moons.h"

namespace halfarc {
namespace {

using sky::Body;

Result<void> check_date(Utc utc) {
  const int year = utc.civil().year;
  if (year >= 1750 && year < 2250) return {};
  return bad_input("the places of the planets are known from 1750 to 2250", utc.iso(0), "type a date between them");
}

std::vector<NamedMoon> satellites_of(Body body, const sky::Place& place, const sky::Observer& observer) {
  std::vector<NamedMoon> moons;
  if (body == Body::jupiter) {
    const auto offsets = sky::galilean_offsets(place, observer);
    for (std::size_t i = 0; i < offsets.size(); ++i) {
      moons.push_back({std::string(name_of(static_cast<sky::GalileanMoon>(i))), offsets[i]});
    }
  } else if (body == Body::saturn) {
    const auto offsets = sky::saturn_moon_offsets(place, observer);
    for (const sky::SaturnMoon moon : sky::kSaturnMoons) {
      moons.push_back({std::string(name_of(moon)), offsets[static_cast<std::size_t>(moon)]});
    }
  }
  return moons;
}

std::vector<sky::TerminatorMotion> terminator_of_moon(const sky::Site& site, Utc utc) {
  std::vector<sky::TerminatorMotion> found;
  for (const double latitude : {0.0, 60.0, -60.0}) {
    const auto motion = sky::terminator_motion(Body::moon, site, utc, Angle::deg(latitude));
    if (motion) found.push_back(*motion);
  }
  return found;
}

}  // namespace

Result<Whereabouts> where_body(const WhereRequest& request) {
  HALFARC_CHECK(check_date(request.utc));
  const Body body = request.body;
  const sky::Observer observer = sky::observe_from(request.site, request.utc);
  const sky::Place sun = place_of(Body::sun, observer);
  Whereabouts w;
  w.asked = request;
  w.place = place_of(body, observer);
  HALFARC_CHECK(check_pointing(body, w.place, sun, request.sun_rule));
  w.sun_is_up = sun_is_up(sun);
  if (request.slew_from) {
    HALFARC_CHECK(check_slew(*request.slew_from, w.place.horizontal, sun, request.sun_rule));
    if (w.sun_is_up) w.nearest_sun_on_slew = closest_approach(*request.slew_from, w.place.horizontal, sun.horizontal);
  }
  w.sun_separation = separation(w.place, sun);
  w.cautions = sun_cautions(body, w.place, sun, request.sun_rule);

  w.disc = disc_of(body, w.place, observer);
  const sky::Illumination light = illumination_of(body, w.place, w.disc, observer);
  w.magnitude = visual_magnitude(body, light);
  w.surface_magnitude = surface_magnitude(body, light, w.disc);
  if (body == Body::saturn) w.ring = saturn_ring(w.place, w.disc, observer);
  if (body == Body::moon) {
    w.moon = moon_face(w.disc);
    w.terminator = terminator_of_moon(request.site, request.utc);
  }
  w.satellites = satellites_of(body, w.place, observer);

  const sky::Weather weather = request.weather.value_or(sky::usual_weather(request.site.height));
  const Angle altitude = w.place.horizontal.altitude;
  w.refracted_altitude = altitude + sky::refraction(altitude, weather);
  if (w.refracted_altitude > Angle::deg(0.0)) w.airmass = sky::airmass(w.refracted_altitude);
  w.parallactic = sky::parallactic_angle(w.place.hour_angle, w.place.apparent.dec, request.site.latitude);
  w.field_rotation = sky::alt_az_motion(w.place.horizontal, request.site.latitude).field_rotation;
  return w;
}

}  // namespace halfarc
