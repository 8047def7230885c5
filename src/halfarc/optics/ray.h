// Ray: a pencil of light followed exactly through flat faces, anywhere and at any slant.
//
// The bench has x and y along the image's and z along the light. A face is flat, stands at a place, is square to its
// normal, and has a medium behind it. Nothing is small here: neither angles nor wedges.
#pragma once

#include <optional>
#include <span>

#include "halfarc/base/angle.h"
#include "halfarc/base/length.h"

namespace halfarc {

struct BenchPoint {
  Length x;
  Length y;
  Length z;
};

// A unit vector. x and y along the image's, z along the light.
struct Direction {
  double x = 0.0;
  double y = 0.0;
  double z = 1.0;
};

double dot(Direction a, Direction b);

// The light's own direction leaned over by `tilt` towards a direction on the image, clockwise from up.
Direction leaning(Angle tilt, Angle towards);

struct Ray {
  BenchPoint at;
  Direction along;
  double index = 1.0;   // of the medium it runs in, relative to air
  Length optical_path;  // from where it was started: index times length, summed
};

struct FlatFace {
  BenchPoint at;       // any point of the face
  Direction normal;    // either sense
  double index = 1.0;  // of what lies behind the face, relative to air
};

// The direction behind a face: r d + (sqrt(1 - r^2 (1 - c^2)) - r c) N, with r = n1 / n2, c = d.N > 0. Nothing when the
// light is thrown back whole.
// Valid: unit vectors, any angle. Accuracy: 1e-15. Source: [BornWolf1999] 3.2.2 (Snell's law as vectors).
std::optional<Direction> refract(Direction along, Direction normal, double index_before, double index_behind);

// The ray behind a face, or behind all of them in order. Nothing when it is thrown back or runs along a face.
// Valid: faces that the ray meets in order; a face behind the start is met by running back. Accuracy: 1e-15 m and rad.
// Source: [BornWolf1999] 4.9.
std::optional<Ray> cross(const Ray& ray, const FlatFace& face);
std::optional<Ray> trace(Ray ray, std::span<const FlatFace> faces);

// The ray carried on (or back) to the plane z, or to the point of it that lies nearest to `point`. The optical path
// to the latter is the wavefront's, about a reference sphere of infinite radius centred on `point`.
// Valid: a ray that is not square to z. Accuracy: 1e-15 m; the reference sphere: (blur)^2 / (2 radius) [Mahajan1998].
Ray carried_to(Ray ray, Length z);
Ray carried_nearest(Ray ray, BenchPoint point);

}  // namespace halfarc
