#include "halfarc/app/body_of_date.h"

#include <algorithm>

#include "halfarc/simulate/scene.h"
#include "halfarc/sky/figure.h"
#include "halfarc/sky/rotation.h"

namespace halfarc {
namespace {

constexpr Length kSunRadius = Length::km(695700.0);  // IAU 2015 resolution B3

SkyOffset beside(const sky::MoonOffset& moon, Angle radius, Angle pole) {
  // x towards west, which is right of the pole on an image that is not mirrored.
  const PixelOffset north = step_towards(pole);
  const PixelOffset west = step_towards(pole + Angle::deg(90.0));
  return {radius * (moon.x * west.x + moon.y * north.x), radius * (moon.x * west.y + moon.y * north.y)};
}

Result<std::vector<Moon>> moons_of(const Whereabouts& now, Angle pole) {
  std::vector<Moon> moons;
  if (now.satellites.empty()) return moons;
  const Duration ahead = Duration::minutes(10.0);
  WhereRequest soon = now.asked;
  soon.utc = soon.utc + ahead;
  HALFARC_TRY(const Whereabouts then, where_body(soon));
  const Angle radius = now.disc.equatorial_diameter / 2.0;
  for (std::size_t i = 0; i < now.satellites.size(); ++i) {
    Moon moon;
    moon.place = beside(now.satellites[i].offset, radius, pole);
    const SkyOffset later = beside(then.satellites[i].offset, radius, pole);
    const double times = Duration::hours(1.0) / ahead;
    moon.per_hour = {(later.x - moon.place.x) * times, (later.y - moon.place.y) * times};
    moon.towards_us = now.satellites[i].offset.z;
    moons.push_back(moon);
  }
  return moons;
}

}  // namespace

BodyKind invention_for(sky::Body body) {
  switch (body) {
    case sky::Body::jupiter:
      return BodyKind::banded_giant;
    case sky::Body::saturn:
      return BodyKind::ringed_giant;
    case sky::Body::mars:
      return BodyKind::ruddy_disc;
    case sky::Body::moon:
    case sky::Body::mercury:
      return BodyKind::cratered;
    case sky::Body::venus:
    case sky::Body::uranus:
    case sky::Body::neptune:
    case sky::Body::sun:
      break;
  }
  return BodyKind::cloudy_disc;
}

Angle on_image(Angle position_angle, Angle parallactic, Angle zenith) {
  return wrap_positive(zenith + parallactic - position_angle);
}

Result<BodySpec> body_of_date(const Whereabouts& whereabouts, Angle zenith, std::uint64_t surface_seed) {
  const sky::Body name = whereabouts.asked.body;
  const sky::Disc& disc = whereabouts.disc;
  BodySpec body;
  body.kind = invention_for(name);
  body.equatorial_diameter = disc.equatorial_diameter;
  body.flattening = sky::figure_of(name).flattening();
  body.pole_angle = on_image(disc.pole_angle, whereabouts.parallactic, zenith);
  body.sub_observer_latitude = disc.sub_observer.planetocentric_latitude;
  const Angle meridian = disc.sub_observer.in(sky::LongitudeSystem::one).value_or(Angle());
  body.central_meridian = wrap_positive(sky::counts_longitude_eastward(name) ? meridian : -meridian);
  body.phase_angle = disc.phase_angle;
  body.sun_angle = on_image(disc.bright_limb, whereabouts.parallactic, zenith);
  body.surface_seed = surface_seed;
  body.spin = sky::spin_rate(name, sky::LongitudeSystem::one);
  body.sun_radius = Angle::rad(kSunRadius / whereabouts.place.sun_distance);
  HALFARC_TRY(body.moons, moons_of(whereabouts, body.pole_angle));
  return body;
}

std::array<double, 3> mean_light(BodySpec body) {
  constexpr int kCells = 96;
  body.centre = {};
  body.moons.clear();
  const PlateScale scale = PlateScale::per_pixel(body.equatorial_diameter / (kCells - 4.0));
  const Scene scene = draw_scene(body, {kCells, kCells, scale}, 1);
  const Globe globe(body);
  std::array<double, 3> sum{};
  double cells = 0.0;
  const double radius = (kCells - 4.0) / 2.0;
  for (int y = 0; y < kCells; ++y) {
    for (int x = 0; x < kCells; ++x) {
      const auto point = globe.at((x - centre_of(kCells)) / radius, (y - centre_of(kCells)) / radius);
      if (!point || point->to_sun <= 0.0) continue;
      cells += 1.0;
      for (std::size_t c = 0; c < 3; ++c) sum[c] += static_cast<double>(scene.cells[c](x, y));
    }
  }
  for (double& s : sum) s = std::max(s / std::max(cells, 1.0), 1e-3);
  return sum;
}

}  // namespace halfarc
