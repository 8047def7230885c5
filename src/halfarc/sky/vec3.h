// Vec3: a vector in space, in the frame and unit that its name or function says (ICRF axes and au unless said).
#pragma once

#include <cmath>

#include "halfarc/base/angle.h"

namespace halfarc::sky {

struct Vec3 {
  double x = 0.0, y = 0.0, z = 0.0;

  friend constexpr Vec3 operator+(Vec3 a, Vec3 b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
  friend constexpr Vec3 operator-(Vec3 a, Vec3 b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
  friend constexpr Vec3 operator-(Vec3 a) { return {-a.x, -a.y, -a.z}; }
  friend constexpr Vec3 operator*(double k, Vec3 a) { return {k * a.x, k * a.y, k * a.z}; }
  friend constexpr Vec3 operator*(Vec3 a, double k) { return k * a; }
  friend constexpr Vec3 operator/(Vec3 a, double k) { return {a.x / k, a.y / k, a.z / k}; }
};

constexpr double dot(Vec3 a, Vec3 b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
constexpr Vec3 cross(Vec3 a, Vec3 b) { return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x}; }
inline double norm(Vec3 a) { return std::sqrt(dot(a, a)); }
inline Vec3 unit(Vec3 a) { return a / norm(a); }

// The angle between two directions, exact for small and large angles alike.
inline Angle angle_between(Vec3 a, Vec3 b) { return Angle::rad(std::atan2(norm(cross(a, b)), dot(a, b))); }

// A point on the unit sphere from longitude (x towards y) and latitude, and back.
inline Vec3 direction(Angle longitude, Angle latitude) {
  return {cos(latitude) * cos(longitude), cos(latitude) * sin(longitude), sin(latitude)};
}
inline Angle longitude_of(Vec3 a) { return wrap_positive(Angle::rad(std::atan2(a.y, a.x))); }
inline Angle latitude_of(Vec3 a) { return Angle::rad(std::atan2(a.z, std::hypot(a.x, a.y))); }

// A rotation as three rows; rows are the axes of the new frame in the old one.
struct Rotation3 {
  Vec3 row_x{1, 0, 0}, row_y{0, 1, 0}, row_z{0, 0, 1};

  constexpr Vec3 operator*(Vec3 v) const { return {dot(row_x, v), dot(row_y, v), dot(row_z, v)}; }
  constexpr Rotation3 transposed() const {
    return {{row_x.x, row_y.x, row_z.x}, {row_x.y, row_y.y, row_z.y}, {row_x.z, row_y.z, row_z.z}};
  }
};

}  // namespace halfarc::sky
