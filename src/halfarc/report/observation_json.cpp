#include "halfarc/report/observation_json.h"

#include <nlohmann/json.hpp>

#include <cmath>

#include "halfarc/report/observation_text.h"
#include "halfarc/report/seeing_scale.h"

namespace halfarc {
namespace {

using Json = nlohmann::ordered_json;

// To the decimals that mean something.
double rounded(double value, int decimals) {
  const double step = std::pow(10.0, decimals);
  return std::round(value * step) / step;
}

void put(Json& json, const char* key, const std::string& text) {
  if (!text.empty()) json[key] = text;
}

Json disc_of(const DiscGeometry& d) {
  Json disc;
  if (!d.meridians.empty()) {
    Json meridians = Json::object();
    for (const CentralMeridian& m : d.meridians) {
      meridians[m.system.empty() ? "only" : m.system] = rounded(m.longitude.deg(), 2);
    }
    disc["central_meridian_deg"] = meridians;
  }
  disc["diameter_arcsec"] = rounded(d.diameter.arcsec(), 3);
  disc["illuminated_fraction"] = rounded(d.lit, 4);
  disc["phase_angle_deg"] = rounded(d.phase_angle.deg(), 3);
  disc["sub_observer_latitude_deg"] = rounded(d.tilt.deg(), 3);
  disc["pole_angle_deg"] = rounded(d.pole.deg(), 3);
  if (d.ring_opening) disc["ring_opening_deg"] = rounded(d.ring_opening->deg(), 3);
  if (d.colongitude) disc["colongitude_deg"] = rounded(d.colongitude->deg(), 3);
  if (d.libration_longitude && d.libration_latitude) {
    disc["libration_l_deg"] = rounded(d.libration_longitude->deg(), 3);
    disc["libration_b_deg"] = rounded(d.libration_latitude->deg(), 3);
  }
  return disc;
}

Json station_of(const Station& s) {
  Json station;
  put(station, "name", s.name);
  station["latitude_deg"] = rounded(s.latitude.deg(), 5);
  station["longitude_deg"] = rounded(s.longitude.deg(), 5);
  station["height_m"] = rounded(s.height.m(), 1);
  return station;
}

Json equipment_of(const Observation& o) {
  Json equipment = Json::object();
  put(equipment, "telescope", o.telescope);
  if (o.aperture) equipment["aperture_mm"] = rounded(o.aperture->mm(), 2);
  if (o.focal_ratio) equipment["focal_ratio"] = rounded(*o.focal_ratio, 2);
  if (o.arcsec_per_px) equipment["arcsec_per_px"] = rounded(*o.arcsec_per_px, 5);
  put(equipment, "camera", o.camera);
  put(equipment, "filter", o.filter);
  put(equipment, "corrector", o.corrector);
  return equipment;
}

Json recording_of(const Observation& o) {
  Json recording = Json::object();
  if (o.exposure) recording["exposure_ms"] = rounded(o.exposure->ms(), 4);
  if (o.gain_e_per_adu) recording["gain_e_per_adu"] = rounded(*o.gain_e_per_adu, 4);
  if (o.frames_per_s) recording["frames_per_s"] = rounded(*o.frames_per_s, 3);
  if (o.frames_taken) recording["frames_taken"] = *o.frames_taken;
  if (o.frames_kept) recording["frames_kept"] = *o.frames_kept;
  return recording;
}

}  // namespace

std::string observation_json(const Observation& o) {
  Json json;
  json["schema"] = "halfarc.report/1";
  json["object"] = o.object;
  json["mid_utc"] = o.middle.iso(3);
  if (o.span) json["span_s"] = rounded(o.span->s(), 3);
  put(json, "observer", o.observer);
  if (o.station) json["station"] = station_of(*o.station);
  json["equipment"] = equipment_of(o);
  json["recording"] = recording_of(o);
  if (o.disc) json["disc"] = disc_of(*o.disc);
  if (o.altitude) json["altitude_deg"] = rounded(o.altitude->deg(), 3);
  if (o.airmass) json["airmass"] = rounded(*o.airmass, 3);
  if (o.seeing) {
    Json seeing = {{"fwhm_arcsec", rounded(o.seeing->width.value.arcsec(), 3)}};
    if (o.seeing->width.sigma.rad() > 0.0) seeing["sigma"] = rounded(o.seeing->width.sigma.arcsec(), 3);
    seeing["how"] = o.seeing->how;
    seeing["scale"] = "Antoniadi, common practice";
    seeing["numeral"] = std::string(antoniadi(o.seeing->width.value));
    json["seeing"] = seeing;
  }
  put(json, "transparency", o.transparency);
  if (o.orientation) {
    json["orientation"] = {{"north_deg", rounded(wrap_positive(o.orientation->north).deg(), 2)},
                           {"mirrored", o.orientation->mirrored}};
  }
  if (o.derotated) json["derotated_s"] = rounded(o.derotated->s(), 3);
  if (o.resolution) {
    Json resolution = {{"arcsec", rounded(o.resolution->value.arcsec(), 4)}};
    if (o.resolution->sigma.rad() > 0.0) resolution["sigma"] = rounded(o.resolution->sigma.arcsec(), 4);
    resolution["criterion"] = o.criterion;
    json["resolution"] = resolution;
  }
  json["processing"] = o.processing;
  put(json, "comments", o.comments);
  json["caption"] = caption(o);
  return json.dump(2);
}

}  // namespace halfarc
