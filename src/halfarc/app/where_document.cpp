#include "halfarc/app/where_document.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include "halfarc/app/rounded.h"

namespace halfarc {
namespace {

using nlohmann::json;
using sky::Body;

double degrees(Angle a) { return rounded(a.deg(), 6); }
double arcseconds(Angle a) { return rounded(a.arcsec(), 4); }

json meridians(const sky::SubPoint& point, Body body) {
  json longitudes = json::object();
  for (const sky::LongitudeSystem system : systems_of(body)) {
    if (const auto l = point.in(system)) longitudes[std::string(name_of(system))] = rounded(l->deg(), 4);
  }
  return longitudes;
}

json ring_of(const sky::SaturnRing& r) {
  return {{"B_deg", rounded(r.tilt.deg(), 4)},
          {"B_sun_deg", rounded(r.sun_tilt.deg(), 4)},
          {"pole_angle_deg", rounded(r.pole_angle.deg(), 4)},
          {"major_arcsec", arcseconds(r.major_axis)},
          {"minor_arcsec", arcseconds(r.minor_axis)}};
}

json terminator_of(const sky::TerminatorMotion& m) {
  return {{"latitude_deg", rounded(m.latitude.deg(), 4)},
          {"east_longitude_deg", rounded(wrap_signed(m.east_longitude).deg(), 4)},
          {"sunrise", m.sunrise},
          {"km_per_h", rounded(m.over_ground.km_per_h(), 3)},
          {"arcsec_per_min", rounded(m.on_sky.arcsec_per_minute(), 5)}};
}

json moon_of(const Whereabouts& w) {
  const sky::MoonFace& f = *w.moon;
  json terminator = json::array();
  for (const sky::TerminatorMotion& m : w.terminator) terminator.push_back(terminator_of(m));
  return {{"libration_l_deg", rounded(f.libration_longitude.deg(), 4)},
          {"libration_b_deg", rounded(f.libration_latitude.deg(), 4)},
          {"axis_angle_deg", rounded(f.axis_angle.deg(), 4)},
          {"colongitude_deg", rounded(f.colongitude.deg(), 4)},
          {"sub_solar_latitude_deg", rounded(f.sub_solar_latitude.deg(), 4)},
          {"terminator", std::move(terminator)}};
}

void add_disc(json& document, const Whereabouts& w) {
  const sky::Disc& d = w.disc;
  const Body body = w.asked.body;
  document["diameter_arcsec"] = arcseconds(d.equatorial_diameter);
  document["polar_diameter_arcsec"] = arcseconds(d.polar_diameter);
  document["central_meridian_deg"] = meridians(d.sub_observer, body);
  document["sub_observer_latitude_deg"] = rounded(d.sub_observer.planetographic_latitude.deg(), 4);
  document["pole_angle_deg"] = rounded(d.pole_angle.deg(), 4);
  if (w.magnitude) document["magnitude"] = rounded(*w.magnitude, 3);
  if (w.surface_magnitude) document["surface_magnitude_per_arcsec2"] = rounded(*w.surface_magnitude, 3);
  if (body == Body::sun) return;
  document["sun_distance_au"] = rounded(sky::in_astronomical_units(w.place.sun_distance), 9);
  document["illuminated_fraction"] = rounded(d.illuminated_fraction, 6);
  document["phase_angle_deg"] = rounded(d.phase_angle.deg(), 4);
  document["bright_limb_deg"] = rounded(d.bright_limb.deg(), 4);
  document["sub_solar_latitude_deg"] = rounded(d.sub_solar.planetographic_latitude.deg(), 4);
  document["sun_separation_deg"] = rounded(w.sun_separation.deg(), 4);
  if (w.nearest_sun_on_slew) document["slew"] = {{"nearest_sun_deg", rounded(w.nearest_sun_on_slew->deg(), 2)}};
}

std::string compass(Angle azimuth) {
  constexpr std::array names = {"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE",
                                "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"};
  return names[static_cast<std::size_t>(std::lround(azimuth.deg() / 22.5)) % 16];
}

std::string right_ascension(Angle ra) {
  const double tenths = std::round(wrap_positive(ra).hours() * 36000.0);
  const auto t = static_cast<long>(tenths) % 864000;
  return fmt::format("{:02}h {:02}m {:04.1f}s", t / 36000, t / 600 % 60, static_cast<double>(t % 600) / 10.0);
}

std::string declination(Angle dec) {
  const auto s = static_cast<long>(std::lround(std::abs(dec.arcsec())));
  return fmt::format("{}{:02}d {:02}' {:02}\"", dec.rad() < 0.0 ? '-' : '+', s / 3600, s / 60 % 60, s % 60);
}

std::string site_words(const WhereRequest& asked) {
  const sky::Site& s = asked.site;
  return fmt::format("{}{}{:.4f} {}, {:.4f} {}, {:.0f} m", asked.site_name, asked.site_name.empty() ? "" : ", ",
                     std::abs(s.latitude.deg()), s.latitude.rad() < 0.0 ? 'S' : 'N', std::abs(s.longitude.deg()),
                     s.longitude.rad() < 0.0 ? 'W' : 'E', s.height.m());
}

std::string distance_words(const Whereabouts& w) {
  if (w.asked.body == Body::moon) return fmt::format("{:.0f} km", w.place.distance.km());
  std::string text = fmt::format("{:.5f} au", sky::in_astronomical_units(w.place.distance));
  if (w.asked.body != Body::sun) {
    text += fmt::format(", {:.5f} au from the Sun", sky::in_astronomical_units(w.place.sun_distance));
  }
  return text;
}

std::string meridian_words(const Whereabouts& w) {
  std::string text;
  const auto systems = systems_of(w.asked.body);
  for (const sky::LongitudeSystem system : systems) {
    const auto l = w.disc.sub_observer.in(system);
    if (!l) continue;
    if (!text.empty()) text += ", ";
    if (systems.size() > 1) text += fmt::format("{} ", name_of(system));
    text += fmt::format("{:.1f}", l->deg());
  }
  return text + " deg";
}

// A line of the words: a short name, then what is said of it.
void add(std::string& text, std::string_view name, const std::string& says) {
  text += fmt::format("  {:<16}{}\n", name, says);
}

void add_place(std::string& text, const Whereabouts& w) {
  const sky::Horizontal& h = w.place.horizontal;
  const std::string side = fmt::format("azimuth {:.2f} deg ({})", h.azimuth.deg(), compass(h.azimuth));
  if (w.airmass) {
    add(text, "Altitude",
        fmt::format("{:.2f} deg ({:.2f} without air), {}, airmass {:.2f}", w.refracted_altitude.deg(), h.altitude.deg(),
                    side, *w.airmass));
  } else {
    add(text, "Altitude", fmt::format("below the horizon: {:.2f} deg, {}", h.altitude.deg(), side));
  }
  add(text, "Place",
      fmt::format("RA {}, dec {} (of date, from the site)", right_ascension(w.place.apparent.ra),
                  declination(w.place.apparent.dec)));
  add(text, "ICRF",
      fmt::format("RA {}, dec {} (astrometric)", right_ascension(w.place.astrometric.ra),
                  declination(w.place.astrometric.dec)));
  add(text, "Distance", distance_words(w));
  add(text, "Field",
      fmt::format("turns {:+.2f} deg/h on an alt-az mount; parallactic angle {:.2f} deg",
                  w.field_rotation.deg_per_hour(), w.parallactic.deg()));
}

void add_disc_words(std::string& text, const Whereabouts& w) {
  const sky::Disc& d = w.disc;
  const double flat = d.equatorial_diameter.arcsec() - d.polar_diameter.arcsec();
  add(text, "Diameter",
      flat > 0.01 ? fmt::format("{:.2f}\" across the equator, {:.2f}\" across the poles",
                                d.equatorial_diameter.arcsec(), d.polar_diameter.arcsec())
                  : fmt::format("{:.2f}\"", d.equatorial_diameter.arcsec()));
  if (w.asked.body != Body::sun) {
    add(text, "Phase",
        fmt::format("{:.1f} % lit, phase angle {:.2f} deg, bright limb towards {:.1f} deg",
                    100.0 * d.illuminated_fraction, d.phase_angle.deg(), d.bright_limb.deg()));
  }
  std::string light = w.magnitude ? fmt::format("magnitude {:.2f}", *w.magnitude) : std::string();
  if (w.surface_magnitude) light += fmt::format(", {:.2f} a square arcsecond", *w.surface_magnitude);
  if (!light.empty()) add(text, "Brightness", light);
  add(text, "Facing us",
      fmt::format("longitude {}, latitude {:+.2f} deg; Sun over {:+.2f} deg", meridian_words(w),
                  d.sub_observer.planetographic_latitude.deg(), d.sub_solar.planetographic_latitude.deg()));
  add(text, "North pole", fmt::format("at {:.2f} deg (from north through east)", d.pole_angle.deg()));
}

void add_ring_words(std::string& text, const sky::SaturnRing& r) {
  add(text, "Ring",
      fmt::format("open {:+.2f} deg ({} face, {}), {:.2f}\" by {:.2f}\"; Sun at {:+.2f} deg", r.tilt.deg(),
                  r.tilt.rad() >= 0.0 ? "north" : "south", r.lit_face_seen ? "lit" : "unlit", r.major_axis.arcsec(),
                  r.minor_axis.arcsec(), r.sun_tilt.deg()));
}

void add_moon_words(std::string& text, const sky::MoonFace& f) {
  add(text, "Libration",
      fmt::format("{:+.2f} deg in longitude, {:+.2f} deg in latitude", f.libration_longitude.deg(),
                  f.libration_latitude.deg()));
  add(text, "Colongitude",
      fmt::format("{:.2f} deg (the morning terminator stands at longitude {:+.2f})", f.colongitude.deg(),
                  wrap_signed(-f.colongitude).deg()));
}

void add_terminator_words(std::string& text, const Whereabouts& w) {
  std::string says;
  for (const sky::TerminatorMotion& m : w.terminator) {
    const double latitude = m.latitude.deg();
    const std::string where = latitude == 0.0
                                  ? fmt::format("the equator ({:.1f} km/h)", m.over_ground.km_per_h())
                                  : fmt::format("{:.0f} deg {}", std::abs(latitude), latitude > 0.0 ? 'N' : 'S');
    says += fmt::format("{}{:.3f}\"{} at {}", says.empty() ? "creeps " : ", ", m.on_sky.arcsec_per_minute(),
                        says.empty() ? " a minute" : "", where);
  }
  if (!says.empty()) add(text, "Terminator", says);
}

void add_satellite_words(std::string& text, const Whereabouts& w) {
  if (w.satellites.empty()) return;
  add(text, "Moons", "west and north of the centre, in equatorial radii");
  for (const NamedMoon& m : w.satellites) {
    add(text, "",
        fmt::format("{:<10} {:+8.2f} {:+8.2f}   {}", m.name, m.offset.x, m.offset.y,
                    m.offset.z > 0.0 ? "nearer" : "farther"));
  }
}

}  // namespace

std::string where_json(const Whereabouts& w) {
  const sky::Site& site = w.asked.site;
  json document = {
      {"schema", "halfarc.where/1"},
      {"target", std::string(name_of(w.asked.body))},
      {"utc", w.asked.utc.iso(3)},
      {"site",
       {{"latitude_deg", degrees(site.latitude)},
        {"longitude_deg", degrees(site.longitude)},
        {"height_m", rounded(site.height.m(), 2)}}},
      {"ra_deg", degrees(w.place.apparent.ra)},
      {"dec_deg", degrees(w.place.apparent.dec)},
      {"astrometric", {{"ra_deg", degrees(w.place.astrometric.ra)}, {"dec_deg", degrees(w.place.astrometric.dec)}}},
      {"azimuth_deg", degrees(w.place.horizontal.azimuth)},
      {"altitude_deg", degrees(w.place.horizontal.altitude)},
      {"altitude_refracted_deg", degrees(w.refracted_altitude)},
      {"distance_au", rounded(sky::in_astronomical_units(w.place.distance), 9)},
      {"parallactic_deg", rounded(w.parallactic.deg(), 4)},
      {"field_rotation_deg_per_h", rounded(w.field_rotation.deg_per_hour(), 4)},
      {"cautions", w.cautions}};
  if (!w.asked.site_name.empty()) document["site"]["name"] = w.asked.site_name;
  if (w.airmass) document["airmass"] = rounded(*w.airmass, 4);
  add_disc(document, w);
  if (w.ring) document["ring"] = ring_of(*w.ring);
  if (w.moon) document["moon"] = moon_of(w);
  if (!w.satellites.empty()) {
    json moons = json::array();
    for (const NamedMoon& m : w.satellites) {
      moons.push_back({{"name", m.name},
                       {"x", rounded(m.offset.x, 4)},
                       {"y", rounded(m.offset.y, 4)},
                       {"z", rounded(m.offset.z, 4)}});
    }
    document["satellites"] = std::move(moons);
  }
  return document.dump(2);
}

std::string where_words(const Whereabouts& w) {
  const std::string date = w.asked.utc.iso(0).substr(0, 19).replace(10, 1, " ");
  std::string text = fmt::format("{}, {} UTC, from {}\n", name_of(w.asked.body), date, site_words(w.asked));
  for (const std::string& caution : w.cautions) add(text, "Caution", caution);
  if (w.nearest_sun_on_slew)
    add(text, "Slew",
        fmt::format("passes the Sun at {:.0f} deg or more, whichever way the mount goes",
                    w.nearest_sun_on_slew->deg()));
  add_place(text, w);
  add_disc_words(text, w);
  if (w.ring) add_ring_words(text, *w.ring);
  if (w.moon) add_moon_words(text, *w.moon);
  add_terminator_words(text, w);
  add_satellite_words(text, w);
  if (!w.sun_is_up && w.asked.body != Body::sun) {
    add(text, "Sun", fmt::format("{:.1f} deg away, below the horizon", w.sun_separation.deg()));
  }
  return text;
}

}  // namespace halfarc
