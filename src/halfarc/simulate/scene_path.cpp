#include "halfarc/simulate/scene_path.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace halfarc {
namespace {

SkyOffset turned(const SkyOffset& o, Angle clockwise) {
  // y runs down, so clockwise on the image is from x towards y.
  return {o.x * cos(clockwise) - o.y * sin(clockwise), o.x * sin(clockwise) + o.y * cos(clockwise)};
}

}  // namespace

Angle field_turn_at(const Pointing& pointing, Duration t) { return pointing.field_rotation * t; }

BodySpec body_at(const BodySpec& body, const Pointing& pointing, Duration t) {
  BodySpec now = body;
  const Angle turn = field_turn_at(pointing, t);
  const SkyOffset& about = pointing.turned_about;
  const SkyOffset arm = turned({body.centre.x - about.x, body.centre.y - about.y}, turn);
  if (turn.rad() != 0.0) {
    now.centre = {about.x + arm.x, about.y + arm.y};
    now.pole_angle = body.pole_angle + turn;
    now.sun_angle = body.sun_angle + turn;
  }
  now.central_meridian = body.central_meridian - body.spin * t;
  for (Moon& moon : now.moons) {
    moon.place.x += moon.per_hour.x * t.hours();
    moon.place.y += moon.per_hour.y * t.hours();
    moon.place = turned(moon.place, turn);
  }
  return now;
}

Duration scene_lasts(const BodySpec& body, const Pointing& pointing, PlateScale scale, double farthest_px) {
  double px_per_s = std::abs(pointing.field_rotation.rad_per_s()) * farthest_px;
  if (body.kind != BodyKind::star) {
    px_per_s += std::abs(body.spin.rad_per_s()) * scale.pixels(body.equatorial_diameter) / 2.0;
  }
  double fastest_moon = 0.0;
  for (const Moon& moon : body.moons) {
    fastest_moon = std::max(fastest_moon, std::hypot(moon.per_hour.x.rad(), moon.per_hour.y.rad()));
  }
  px_per_s += scale.pixels(Angle::rad(fastest_moon)) / 3600.0;
  return px_per_s > 0.0 ? Duration::s(kSceneStep / px_per_s) : Duration::s(std::numeric_limits<double>::infinity());
}

}  // namespace halfarc
