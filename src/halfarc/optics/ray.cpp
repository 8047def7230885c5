#include "halfarc/optics/ray.h"

#include <cmath>

#include "halfarc/base/pixel.h"

namespace halfarc {
namespace {

void advance(Ray& ray, Length distance) {
  ray.at.x += distance * ray.along.x;
  ray.at.y += distance * ray.along.y;
  ray.at.z += distance * ray.along.z;
  ray.optical_path += distance * ray.index;
}

// How far `point` lies from the ray's place along a direction.
Length distance_along(const Ray& ray, BenchPoint point, Direction direction) {
  return (point.x - ray.at.x) * direction.x + (point.y - ray.at.y) * direction.y + (point.z - ray.at.z) * direction.z;
}

}  // namespace

double dot(Direction a, Direction b) { return a.x * b.x + a.y * b.y + a.z * b.z; }

Direction leaning(Angle tilt, Angle towards) {
  const PixelOffset step = step_towards(towards) * sin(tilt);
  return {step.x, step.y, cos(tilt)};
}

std::optional<Direction> refract(Direction along, Direction normal, double index_before, double index_behind) {
  const double ratio = index_before / index_behind;
  const double cosine = dot(along, normal);
  const double square = 1.0 - ratio * ratio * (1.0 - cosine * cosine);
  if (!(square >= 0.0)) return std::nullopt;
  const double k = std::copysign(std::sqrt(square), cosine) - ratio * cosine;
  return Direction{ratio * along.x + k * normal.x, ratio * along.y + k * normal.y, ratio * along.z + k * normal.z};
}

std::optional<Ray> cross(const Ray& ray, const FlatFace& face) {
  const double cosine = dot(ray.along, face.normal);
  const auto behind = refract(ray.along, face.normal, ray.index, face.index);
  if (cosine == 0.0 || !behind) return std::nullopt;
  Ray crossed = ray;
  advance(crossed, distance_along(ray, face.at, face.normal) / cosine);
  crossed.along = *behind;
  crossed.index = face.index;
  return crossed;
}

std::optional<Ray> trace(Ray ray, std::span<const FlatFace> faces) {
  for (const FlatFace& face : faces) {
    const auto behind = cross(ray, face);
    if (!behind) return std::nullopt;
    ray = *behind;
  }
  return ray;
}

Ray carried_to(Ray ray, Length z) {
  advance(ray, (z - ray.at.z) / ray.along.z);
  return ray;
}

Ray carried_nearest(Ray ray, BenchPoint point) {
  advance(ray, distance_along(ray, point, ray.along));
  return ray;
}

}  // namespace halfarc
