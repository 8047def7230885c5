// Each case is a mistake that the types of base/ and frames/ must stop at compile time. Without a case the file must
// compile: that is the control, which shows that the cases fail for their own reason and no other.
#include "halfarc/base/angle.h"
#include "halfarc/base/length.h"
#include "halfarc/base/pixel.h"
#include "halfarc/base/result.h"
#include "halfarc/base/temperature.h"
#include "halfarc/base/utc.h"
#include "halfarc/frames/plane.h"

namespace halfarc {

inline double mistakes(Angle angle, Length length, Temperature temperature, PixelPoint point, PixelOffset offset,
                       Utc utc, const Plane<float>& plane) {
#if defined(ANGLE_FROM_DOUBLE)
  const Angle a = 0.5;
  return a.rad();
#elif defined(ANGLE_TO_DOUBLE)
  const double radians = angle;
  return radians;
#elif defined(ANGLE_PLUS_DOUBLE)
  return (angle + 0.5).rad();
#elif defined(ANGLE_PLUS_LENGTH)
  return (angle + length).rad();
#elif defined(ANGLE_LESS_THAN_LENGTH)
  return angle < length ? 1.0 : 0.0;
#elif defined(ANGLE_TIMES_ANGLE)
  return (angle * angle).rad();
#elif defined(TEMPERATURE_PLUS_TEMPERATURE)
  return (temperature + temperature).kelvin();
#elif defined(TEMPERATURE_TIMES_NUMBER)
  return (temperature * 2.0).kelvin();
#elif defined(POINT_PLUS_POINT)
  return (point + point).x;
#elif defined(OFFSET_AS_POINT)
  const PixelPoint p = offset;
  return p.x;
#elif defined(UTC_PLUS_UTC)
  return (utc + utc).unix_s();
#elif defined(UTC_FROM_NUMBER)
  const Utc t = 1'790'000'000.0;
  return t.unix_s();
#elif defined(RESULT_IGNORED)
  Utc::parse("2026-11-25");
  return 0.0;
#elif defined(PLANE_COPIED)
  const Plane<float> copy = plane;
  return copy(0, 0);
#else
  const Plane<float> copy = plane.copy();
  const auto parsed = Utc::parse("2026-11-25");
  const Utc later = utc + Duration::s(parsed ? 1.0 : 0.0);
  const Temperature warmer = temperature + (temperature - Temperature::celsius(0.0)) * 2.0;
  const PixelOffset moved = (point + offset) - point;
  return copy(0, 0) + later.unix_s() + warmer.kelvin() + moved.x + (angle + Angle::rad(0.5)).rad() + length.m();
#endif
}

}  // namespace halfarc
