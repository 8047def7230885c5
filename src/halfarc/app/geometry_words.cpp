#include "halfarc/app/geometry_words.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

using nlohmann::json;

std::string with_sigma(double value, double sigma) {
  const int decimals = sigma > 0.0 ? std::clamp(1 - static_cast<int>(std::floor(std::log10(sigma))), 0, 4) : 2;
  return fmt::format("{:.{}f} ± {:.{}f}", value, decimals, sigma, decimals);
}

const char* source_of(AngleSource source) {
  switch (source) {
    case AngleSource::disc:
      return "disc";
    case AngleSource::nudge:
      return "nudge";
    case AngleSource::moons:
      return "moons";
    case AngleSource::drift:
      break;
  }
  return "drift";
}

const char* scale_words(ScaleSource source) {
  if (source == ScaleSource::drift) return "drift";
  return source == ScaleSource::moons ? "moons" : "disc and its ephemeris";
}

std::string moon_words(const MoonMatch& m) {
  std::string names;
  for (std::size_t i = 0; i < m.moons.size(); ++i)
    names += (i == 0 ? "" : i + 1 == m.moons.size() ? " and " : ", ") + m.moons[i];
  return names + (m.mirror_known ? m.mirrored ? "; the picture is mirrored" : "; the picture is not mirrored"
                                 : "; they do not tell whether the picture is mirrored");
}

std::string roll_words(const PrismReading& p) {
  if (!p.pulls) return "the corrector cancels nothing that could be seen";
  return fmt::format("its pull lies {}° {} of straight against the air on the image",
                     with_sigma(std::abs(p.roll_off.value.deg()), p.roll_off.sigma.deg()),
                     p.roll_off.value.rad() > 0.0 ? "clockwise" : "anticlockwise");
}

json camera_of(const ClipGeometry& g) {
  const CameraAngle& c = *g.camera;
  json j = {{"zenith_deg", c.zenith.value.deg()},   {"sigma_deg", c.zenith.sigma.deg()},
            {"half_turn_known", c.half_turn_known}, {"mirrored", c.mirrored},
            {"mirror_known", c.mirror_known},       {"source", source_of(c.source)}};
  if (g.north) j["north_deg"] = g.north->deg();
  return j;
}

json view_of(const TargetView& v) {
  json j = {{"diameter_arcsec", v.equatorial_diameter.arcsec()},
            {"polar_ratio", v.shape.polar_ratio},
            {"phase_angle_deg", v.shape.phase.deg()},
            {"bright_limb_from_pole_deg", v.shape.sun_from_pole.deg()},
            {"pole_from_zenith_deg", wrap_signed(v.pole - v.parallactic).deg()},
            {"altitude_deg", v.altitude.deg()},
            {"parallactic_deg", v.parallactic.deg()}};
  if (v.shape.ring) j["ring_tilt_deg"] = v.shape.ring->tilt.deg();
  return j;
}

}  // namespace

std::vector<LabelledLine> geometry_lines(const ClipGeometry& g) {
  std::vector<LabelledLine> out;
  if (g.scale) {
    out.push_back({"scale", fmt::format("{}\" a pixel, from the {}",
                                        with_sigma(g.scale->arcsec_per_px.value, g.scale->arcsec_per_px.sigma),
                                        scale_words(g.scale->source))});
  }
  if (g.camera) {
    const CameraAngle& c = *g.camera;
    out.push_back({"camera", fmt::format("the zenith lies {}° from up (clockwise){}, by the {}",
                                         with_sigma(c.zenith.value.deg(), c.zenith.sigma.deg()),
                                         c.half_turn_known ? "" : " or straight opposite", source_of(c.source))});
    if (!c.half_turn_known)
      out.push_back({"", "which of the two, a clip tells during which an altitude key is pressed (--key up)"});
  }
  if (g.moons) out.push_back({"moons", moon_words(*g.moons)});
  if (g.drift) {
    out.push_back({"drift", fmt::format("{}\" a second in altitude, {}\" sideways",
                                        with_sigma(g.drift->altitude.value, g.drift->altitude.sigma),
                                        with_sigma(g.drift->sideways.value, g.drift->sideways.sigma))});
  }
  if (g.cause != DriftCause::none) out.push_back({g.drift ? "" : "drift", in_words(g.cause)});
  if (g.colours) {
    out.push_back({"dispersion", fmt::format("blue lies {}\" above red and {}\" to its right, the zenith being up",
                                             with_sigma(g.colours->along.value, g.colours->along.sigma),
                                             with_sigma(g.colours->across.value, g.colours->across.sigma))});
  }
  if (g.prisms) {
    const PrismReading& p = *g.prisms;
    out.push_back({"levers", fmt::format("act as if both stood at {} marks; the air's {:.2f}\" {} {:.1f}",
                                         with_sigma(p.marks.value, p.marks.sigma), p.air_arcsec,
                                         p.enough ? "need" : "need more than", p.best_marks)});
    out.push_back({"", roll_words(p)});
  }
  return out;
}

std::string geometry_json(const ClipGeometry& g) {
  json j = json::object();
  if (g.view) {
    j["target"] = std::string(sky::name_of(g.view->body));
    j["ephemeris"] = view_of(*g.view);
  }
  if (g.camera) j["orientation"] = camera_of(g);
  if (g.moons)
    j["moons"] = {{"names", g.moons->moons},
                  {"mirrored", g.moons->mirrored},
                  {"mirror_known", g.moons->mirror_known},
                  {"chi2", g.moons->chi2}};
  if (g.cause != DriftCause::none || g.drift) {
    j["sky_drift"] = {{"cause", name_of(g.cause)}};
    if (g.drift) {
      j["sky_drift"]["altitude_arcsec_per_s"] = g.drift->altitude.value;
      j["sky_drift"]["altitude_sigma"] = g.drift->altitude.sigma;
      j["sky_drift"]["sideways_arcsec_per_s"] = g.drift->sideways.value;
      j["sky_drift"]["sideways_sigma"] = g.drift->sideways.sigma;
    }
  }
  if (g.scale) j["scale"] = {{"sigma", g.scale->arcsec_per_px.sigma}};
  if (g.colours) {
    j["dispersion"] = {{"along_zenith_arcsec", g.colours->along.value},
                       {"along_zenith_sigma_arcsec", g.colours->along.sigma},
                       {"across_arcsec", g.colours->across.value},
                       {"across_sigma_arcsec", g.colours->across.sigma}};
  }
  if (g.prisms) {
    const PrismReading& p = *g.prisms;
    j["prisms"] = {{"air_arcsec", p.air_arcsec},
                   {"marks", p.marks.value},
                   {"marks_sigma", p.marks.sigma},
                   {"best_marks", p.best_marks},
                   {"enough", p.enough}};
    if (p.pulls) {
      j["prisms"]["roll_off_deg"] = p.roll_off.value.deg();
      j["prisms"]["roll_off_sigma_deg"] = p.roll_off.sigma.deg();
    }
  }
  return j.dump();
}

}  // namespace halfarc
