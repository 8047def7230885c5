// Body: where a globe's surface lies as we see it, and how the Sun falls on it.
//
// A globe is an ellipsoid of revolution seen from far away. Lengths are in equatorial radii, x to the right and y down
// on the image, from the globe's centre. The pole's angle is clockwise from up; latitudes are planetographic;
// longitudes count eastwards, the way the globe turns: with the pole up, features move to the right. Valid: far
// observer and Sun. Accuracy: exact geometry. Source: [Archinal2018] (conventions), analytic geometry.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/base/angular_rate.h"
#include "halfarc/base/duration.h"
#include "halfarc/base/pixel.h"

namespace halfarc {

// Bodies of our own invention; none is a portrait.
enum class BodyKind {
  banded_giant,  // belts and zones, ovals, one great ochre spot
  ruddy_disc,    // deserts, dark plains, a polar cap
  ringed_giant,  // pale bands and a ring with a gap
  star,          // a point
  cloudy_disc,   // white clouds all over, faint shades in the blue: seen best as a crescent
  cratered,      // plains, highlands and craters, with the shadows of their heights
  blank_disc,    // nothing on it: whatever an image of it shows is false
};

// A moon of a giant. Where it is and what hangs on that (behind the globe, in its shadow, its own shadow on the globe)
// follows from its place.
struct Moon {
  SkyOffset place;          // from the globe's centre
  SkyOffset per_hour;       // how it moves
  double towards_us = 6.0;  // nearer to us than the globe's centre, in equatorial radii
  Angle diameter = Angle::arcsec(1.2);
  std::array<double, 3> reflectance{0.75, 0.66, 0.52};
};

struct BodySpec {
  BodyKind kind = BodyKind::banded_giant;
  Angle equatorial_diameter = Angle::arcsec(44.0);  // of a star: ignored
  double flattening = 0.065;
  Angle pole_angle;             // of the north pole on the image, clockwise from up
  Angle sub_observer_latitude;  // planetocentric
  Angle central_meridian;       // east longitude that faces us
  Angle phase_angle;            // Sun - body - observer
  Angle sun_angle;              // direction of the sunlit limb on the image, clockwise from up
  SkyOffset centre;             // from the middle of the frame
  std::uint64_t surface_seed = 1;
  AngularRate spin{};                       // eastwards
  Duration weather_age{};                   // how long the winds have carried the spots of the banded giant
  double clouds = 0.0;                      // 0 to 1: of the ruddy disc
  Angle sun_radius = Angle::arcsec(190.0);  // as seen from the body: how soft shadows are
  std::vector<Moon> moons{};
};

struct Vector3 {
  double x = 0.0;  // right
  double y = 0.0;  // up
  double z = 0.0;  // towards us

  friend constexpr Vector3 operator+(Vector3 a, Vector3 b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
  friend constexpr Vector3 operator*(Vector3 a, double k) { return {a.x * k, a.y * k, a.z * k}; }
  friend constexpr double dot(Vector3 a, Vector3 b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
};

struct SurfacePoint {
  Angle latitude;
  Angle longitude;
  double to_us = 0.0;   // cosine of the angle between the upright and the line of sight
  double to_sun = 0.0;  // the same for the Sun; below 0 at night
  Vector3 place;        // equatorial radii
};

class Globe {
 public:
  explicit Globe(const BodySpec& body);

  // The near surface behind the image point (x, y), or nothing beside the globe.
  std::optional<SurfacePoint> at(double x, double y) const;

  // Where the line of sight through (x, y) crosses the plane of the equator; nothing when that is seen edge-on.
  std::optional<Vector3> equator_plane_at(double x, double y) const;
  // The same for a ray from `from` towards the Sun; nothing when it leads away from the plane.
  std::optional<Vector3> equator_plane_towards_sun(Vector3 from) const;
  // Whether the globe stands between `from` and the Sun.
  bool hides_sun_from(Vector3 from) const;
  // Where a place in the body's own axes (z to the north pole, x to longitude 0) is seen: x right and y down on the
  // image, z towards us.
  Vector3 seen(Vector3 own) const;
  // The direction of the Sun.
  Vector3 sun() const { return sun_; }
  // Whether we and the Sun are on the same side of the equator.
  bool near_side_lit() const { return dot(pole_, sun_) * pole_.z > 0.0; }

 private:
  // Distance along the ray from + t * direction to the globe: the smaller (entry) and larger (exit) t.
  std::optional<std::pair<double, double>> crossing(Vector3 from, Vector3 direction) const;

  double polar_stretch_;  // 1 / (1 - f)^2 - 1
  Vector3 pole_;
  Vector3 meridian_;  // in the equator, towards the central meridian
  Vector3 east_;
  Vector3 sun_;
  Angle central_meridian_;
};

}  // namespace halfarc
