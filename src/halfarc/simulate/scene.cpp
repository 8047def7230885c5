#include "halfarc/simulate/scene.h"

#include <algorithm>
#include <cmath>

#include "halfarc/simulate/ground.h"
#include "halfarc/simulate/surface.h"

namespace halfarc {
namespace {

Reflectance scaled(const Reflectance& a, const Reflectance& b, double k) {
  const auto f = static_cast<float>(k);
  return {a[0] * b[0] * f, a[1] * b[1] * f, a[2] * b[2] * f};
}

// A moon in the globe's own measure.
struct NearMoon {
  Vector3 place;  // equatorial radii
  double radius = 0.0;
  std::array<float, 3> light{};
};

std::vector<NearMoon> moons_of(const BodySpec& body, const Globe& globe) {
  std::vector<NearMoon> moons;
  const Angle radius = body.equatorial_diameter * 0.5;
  for (const Moon& m : body.moons) {
    NearMoon moon;
    moon.place = {m.place.x / radius, -(m.place.y / radius), m.towards_us};
    moon.radius = m.diameter / body.equatorial_diameter;
    const double lit = globe.hides_sun_from(moon.place) ? 0.0 : 1.0;
    for (std::size_t c = 0; c < 3; ++c) moon.light[c] = static_cast<float>(lit * m.reflectance[c]);
    moons.push_back(moon);
  }
  return moons;
}

// Brightness of one line of sight, in equatorial radii from the body's centre.
class Painter {
 public:
  Painter(const BodySpec& body, double finest)
      : body_(body), globe_(body), finest_(finest), moons_(moons_of(body, globe_)) {}

  Reflectance brightness(double x, double y) const {
    // Discs of moons before the globe, or beside it.
    for (const NearMoon& moon : moons_) {
      const double r = std::hypot(x - moon.place.x, -y - moon.place.y) / moon.radius;
      if (r >= 1.0 || (moon.place.z < 0.0 && globe_.at(x, y))) continue;
      // Icy and dusty moons are nearly flat; the limb fades a little.
      const auto limb = static_cast<float>(0.75 + 0.25 * std::sqrt(1.0 - r * r));
      return {moon.light[0] * limb, moon.light[1] * limb, moon.light[2] * limb};
    }
    return of_globe_and_ring(x, y);
  }

  // How far its parts lie from the globe's centre, in equatorial radii.
  double farthest() const {
    double farthest = body_.kind == BodyKind::ringed_giant ? kRingOuterRadius : 1.0;
    for (const NearMoon& m : moons_) farthest = std::max(farthest, std::hypot(m.place.x, m.place.y) + m.radius);
    return farthest;
  }

 private:
  Reflectance of_globe_and_ring(double x, double y) const {
    const auto ground = globe_.at(x, y);
    const Reflectance behind = ground ? globe_brightness(*ground) : Reflectance{};
    if (body_.kind != BodyKind::ringed_giant) return behind;
    const auto place = globe_.equator_plane_at(x, y);
    if (!place || (ground && ground->place.z > place->z)) return behind;
    const RingPoint ring = ring_at(std::sqrt(dot(*place, *place)));
    if (ring.opacity == 0.0) return behind;
    const double lit = globe_.near_side_lit() && !globe_.hides_sun_from(*place) ? 1.0 : 0.0;
    Reflectance result{};
    for (std::size_t c = 0; c < 3; ++c) {
      result[c] = static_cast<float>(lit) * ring.reflectance[c] + static_cast<float>(1.0 - ring.opacity) * behind[c];
    }
    return result;
  }

  Reflectance globe_brightness(const SurfacePoint& ground) const {
    if (ground.to_sun <= 0.0) return {};
    double sunlight = past_moons(ground.place);
    if (body_.kind == BodyKind::ringed_giant) {
      if (const auto through = globe_.equator_plane_towards_sun(ground.place)) {
        sunlight *= 1.0 - ring_at(std::sqrt(dot(*through, *through))).opacity;
      }
    }
    return scaled(reflectance(body_.kind, ground, finest_, body_.surface_seed, {body_.weather_age, body_.clouds}),
                  limb_darkening(body_.kind, ground.to_us, ground.to_sun), sunlight);
  }

  // The share of the Sun's disc that the moons leave at a place: their shadows, soft by the Sun's radius.
  double past_moons(Vector3 place) const {
    double share = 1.0;
    for (const NearMoon& moon : moons_) {
      const Vector3 way = moon.place + place * -1.0;
      const double along = dot(way, globe_.sun());
      if (along <= 0.0) continue;
      const double aside = std::sqrt(std::max(0.0, dot(way, way) - along * along));
      const double soft = along * body_.sun_radius.rad();
      const double deepest = soft > 0.0 ? std::min(1.0, (moon.radius / soft) * (moon.radius / soft)) : 1.0;
      const double t = std::clamp((aside - moon.radius + soft) / std::max(1e-9, 2.0 * soft), 0.0, 1.0);
      share *= 1.0 - deepest * (1.0 - t * t * (3.0 - 2.0 * t));
    }
    return share;
  }

  BodySpec body_;
  Globe globe_;
  double finest_;
  std::vector<NearMoon> moons_;
};

PixelPoint centre_of_body(const BodySpec& body, const SceneFrame& frame) {
  return {centre_of(frame.width) + frame.scale.pixels(body.centre.x),
          centre_of(frame.height) + frame.scale.pixels(body.centre.y)};
}

void share_point(const PointSource& point, std::array<Plane<float>, 3>& planes) {
  const int x = static_cast<int>(std::floor(point.place.x));
  const int y = static_cast<int>(std::floor(point.place.y));
  const double a = point.place.x - x;
  const double b = point.place.y - y;
  const auto give = [&](int px, int py, double share) {
    if (!planes[0].view().contains(px, py)) return;
    for (std::size_t c = 0; c < 3; ++c) planes[c](px, py) += static_cast<float>(share) * point.light[c];
  };
  give(x, y, (1.0 - a) * (1.0 - b));
  give(x + 1, y, a * (1.0 - b));
  give(x, y + 1, (1.0 - a) * b);
  give(x + 1, y + 1, a * b);
}

}  // namespace

Scene draw_scene(const BodySpec& body, const SceneFrame& frame, int oversample, Threads threads) {
  Scene scene;
  scene.frame = frame;
  scene.oversample = oversample;
  for (auto& plane : scene.cells) plane = Plane<float>(frame.width * oversample, frame.height * oversample);
  const PixelPoint centre = centre_of_body(body, frame);
  if (body.kind == BodyKind::star) {
    scene.points.push_back({centre, {1.0F, 1.0F, 1.0F}});
    return scene;
  }
  if (body.kind == BodyKind::cratered) {
    draw_ground(body, scene, threads);
    return scene;
  }
  const double radius_px = frame.scale.pixels(body.equatorial_diameter) / 2.0;
  const double cells_a_radius = radius_px * oversample;
  const Painter painter(body, 0.5 * cells_a_radius);
  const double reach_px = painter.farthest() * radius_px + 1.0;
  const int rows = frame.height * oversample;
  parallel_for(static_cast<std::size_t>(rows), threads, [&](std::size_t index) {
    const int row = static_cast<int>(index);
    const double y_px = (row - 0.5 * (oversample - 1)) / oversample - centre.y;
    if (std::abs(y_px) > reach_px) return;
    for (int column = 0; column < frame.width * oversample; ++column) {
      const double x_px = (column - 0.5 * (oversample - 1)) / oversample - centre.x;
      if (std::abs(x_px) > reach_px) continue;
      const Reflectance light = painter.brightness(x_px / radius_px, y_px / radius_px);
      for (std::size_t c = 0; c < 3; ++c) scene.cells[c](column, row) = light[c];
    }
  });
  return scene;
}

std::array<Plane<float>, 3> pixel_means(const Scene& scene) {
  std::array<Plane<float>, 3> planes;
  const int k = scene.oversample;
  for (std::size_t c = 0; c < 3; ++c) {
    planes[c] = Plane<float>(scene.frame.width, scene.frame.height);
    for (int y = 0; y < scene.frame.height; ++y) {
      for (int x = 0; x < scene.frame.width; ++x) {
        float sum = 0.0F;
        for (int j = 0; j < k; ++j) {
          for (int i = 0; i < k; ++i) sum += scene.cells[c](x * k + i, y * k + j);
        }
        planes[c](x, y) = sum / static_cast<float>(k * k);
      }
    }
  }
  for (const PointSource& point : scene.points) share_point(point, planes);
  return planes;
}

Angle reach(const BodySpec& body) {
  switch (body.kind) {
    case BodyKind::star:
      return Angle::rad(0.0);
    case BodyKind::ringed_giant:
      return body.equatorial_diameter * (0.5 * kRingOuterRadius);
    case BodyKind::banded_giant:
    case BodyKind::ruddy_disc:
    case BodyKind::cloudy_disc:
    case BodyKind::cratered:
    case BodyKind::blank_disc:
      break;
  }
  return body.equatorial_diameter * 0.5;
}

}  // namespace halfarc
