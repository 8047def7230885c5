#include "halfarc/simulate/body.h"

#include <cmath>
#include <utility>

namespace halfarc {
namespace {

Vector3 cross(Vector3 a, Vector3 b) { return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x}; }

Vector3 unit(Vector3 v) { return v * (1.0 / std::sqrt(dot(v, v))); }

// The direction `up` degrees clockwise from up on the image, tipped towards us by `towards`.
Vector3 direction(Angle clockwise_from_up, Angle towards) {
  return {cos(towards) * sin(clockwise_from_up), cos(towards) * cos(clockwise_from_up), sin(towards)};
}

}  // namespace

Globe::Globe(const BodySpec& body)
    : polar_stretch_(1.0 / ((1.0 - body.flattening) * (1.0 - body.flattening)) - 1.0),
      pole_(direction(body.pole_angle, body.sub_observer_latitude)),
      sun_(direction(body.sun_angle, Angle::deg(90.0) - body.phase_angle)),
      central_meridian_(body.central_meridian) {
  const Vector3 to_us{0.0, 0.0, 1.0};
  const Vector3 across = to_us + pole_ * -pole_.z;
  // Straight over a pole every meridian faces us alike: take the one below the pole's direction on the image.
  meridian_ = dot(across, across) > 1e-20
                  ? unit(across)
                  : unit(cross(cross(pole_, direction(body.pole_angle, Angle::deg(0.0))), pole_)) *
                        (pole_.z > 0.0 ? -1.0 : 1.0);
  east_ = cross(pole_, meridian_);
}

std::optional<std::pair<double, double>> Globe::crossing(Vector3 from, Vector3 along) const {
  // |r|^2 + stretch (r . pole)^2 = 1
  const double fp = dot(from, pole_);
  const double ap = dot(along, pole_);
  const double a = dot(along, along) + polar_stretch_ * ap * ap;
  const double b = dot(from, along) + polar_stretch_ * fp * ap;
  const double c = dot(from, from) + polar_stretch_ * fp * fp - 1.0;
  const double discriminant = b * b - a * c;
  if (discriminant < 0.0) return std::nullopt;
  const double root = std::sqrt(discriminant);
  return std::pair{(-b - root) / a, (-b + root) / a};
}

std::optional<SurfacePoint> Globe::at(double x, double y) const {
  const auto hit = crossing({x, -y, 0.0}, {0.0, 0.0, 1.0});
  if (!hit) return std::nullopt;
  SurfacePoint point;
  point.place = {x, -y, hit->second};
  const double height = dot(point.place, pole_);
  const Vector3 upright = unit(point.place + pole_ * (polar_stretch_ * height));
  point.latitude = Angle::rad(std::asin(dot(upright, pole_)));
  point.longitude = central_meridian_ + Angle::rad(std::atan2(dot(point.place, east_), dot(point.place, meridian_)));
  point.to_us = upright.z;
  point.to_sun = dot(upright, sun_);
  return point;
}

Vector3 Globe::seen(Vector3 own) const {
  const Vector3 prime = meridian_ * cos(central_meridian_) + east_ * -sin(central_meridian_);
  const Vector3 quarter = meridian_ * sin(central_meridian_) + east_ * cos(central_meridian_);
  const Vector3 place = prime * own.x + quarter * own.y + pole_ * own.z;
  return {place.x, -place.y, place.z};
}

std::optional<Vector3> Globe::equator_plane_at(double x, double y) const {
  if (std::abs(pole_.z) < 1e-6) return std::nullopt;
  const double z = -(x * pole_.x - y * pole_.y) / pole_.z;
  return Vector3{x, -y, z};
}

std::optional<Vector3> Globe::equator_plane_towards_sun(Vector3 from) const {
  const double rate = dot(sun_, pole_);
  const double height = dot(from, pole_);
  if (std::abs(rate) < 1e-9 || height * rate >= 0.0) return std::nullopt;
  return from + sun_ * (-height / rate);
}

bool Globe::hides_sun_from(Vector3 from) const {
  const auto hit = crossing(from, sun_);
  return hit && hit->first > 1e-9;
}

}  // namespace halfarc
