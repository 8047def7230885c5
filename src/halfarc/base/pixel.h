// Image coordinates and the plate scale that ties them to the sky.
//
// x runs right, y runs down, (0,0) is the centre of the top-left pixel (docs/conventions.md). A position is not a
// difference: PixelPoint - PixelPoint is a PixelOffset, and two points cannot be added. A SkyOffset is the same
// vector in angle, still along the image's x and y; a pupil position is a third type (optics/pupil.h).
#pragma once

#include <cmath>

#include "halfarc/base/angle.h"

namespace halfarc {

struct PixelOffset {
  double x = 0.0;
  double y = 0.0;

  friend constexpr bool operator==(PixelOffset, PixelOffset) = default;
  friend constexpr PixelOffset operator+(PixelOffset a, PixelOffset b) { return {a.x + b.x, a.y + b.y}; }
  friend constexpr PixelOffset operator-(PixelOffset a, PixelOffset b) { return {a.x - b.x, a.y - b.y}; }
  friend constexpr PixelOffset operator-(PixelOffset a) { return {-a.x, -a.y}; }
  friend constexpr PixelOffset operator*(PixelOffset a, double k) { return {a.x * k, a.y * k}; }
  double length() const { return std::hypot(x, y); }
};

struct PixelPoint {
  double x = 0.0;
  double y = 0.0;

  friend constexpr bool operator==(PixelPoint, PixelPoint) = default;
  friend constexpr PixelPoint operator+(PixelPoint p, PixelOffset d) { return {p.x + d.x, p.y + d.y}; }
  friend constexpr PixelPoint operator-(PixelPoint p, PixelOffset d) { return {p.x - d.x, p.y - d.y}; }
  friend constexpr PixelOffset operator-(PixelPoint a, PixelPoint b) { return {a.x - b.x, a.y - b.y}; }
};

// Directions on the image run clockwise from up (docs/conventions.md): the step of length 1 in a direction, and the
// direction of a step, in [0, 360) degrees; that of no step at all is up.
inline PixelOffset step_towards(Angle clockwise_from_up) { return {sin(clockwise_from_up), -cos(clockwise_from_up)}; }
inline Angle direction_of(PixelOffset step) {
  return step == PixelOffset{} ? Angle() : wrap_positive(Angle::rad(std::atan2(step.x, -step.y)));
}

struct SkyOffset {
  Angle x;
  Angle y;
};

// Angle on the sky per pixel.
class PlateScale {
 public:
  constexpr PlateScale() = default;
  static constexpr PlateScale per_pixel(Angle a) { return PlateScale(a); }
  static constexpr PlateScale arcsec_per_px(double v) { return PlateScale(Angle::arcsec(v)); }

  constexpr double arcsec_per_px() const { return per_pixel_.arcsec(); }
  constexpr Angle angle(double pixels) const { return per_pixel_ * pixels; }
  constexpr double pixels(Angle a) const { return a / per_pixel_; }
  constexpr SkyOffset sky(PixelOffset d) const { return {angle(d.x), angle(d.y)}; }

  friend constexpr auto operator<=>(PlateScale a, PlateScale b) = default;

 private:
  explicit constexpr PlateScale(Angle a) : per_pixel_(a) {}
  Angle per_pixel_ = Angle::arcsec(1.0);
};

// The centre of an image or region of `size` samples along one axis, in pixel coordinates: 4 samples -> 1.5.
constexpr double centre_of(int size) { return 0.5 * (size - 1); }

}  // namespace halfarc
