#include "halfarc/measure/camera_angle.h"

namespace halfarc {
namespace {

constexpr double sense(bool mirrored) { return mirrored ? 1.0 : -1.0; }  // of position angles, clockwise on the image

}  // namespace

Angle on_image(Angle position_angle, Angle zenith, Angle parallactic, bool mirrored) {
  return wrap_positive(zenith + (position_angle - parallactic) * sense(mirrored));
}

Angle zenith_from(Angle direction, Angle position_angle, Angle parallactic, bool mirrored) {
  return wrap_positive(direction - (position_angle - parallactic) * sense(mirrored));
}

Angle zenith_from_key(Angle went, Key key, bool mirrored) {
  const Angle quarter = Angle::deg(mirrored ? -90.0 : 90.0);
  switch (key) {
    case Key::up:
      return wrap_positive(went + Angle::deg(180.0));
    case Key::down:
      return wrap_positive(went);
    case Key::right:
      return wrap_positive(went + quarter);
    case Key::left:
      break;
  }
  return wrap_positive(went - quarter);
}

bool mirrored_from_keys(Angle went_on_up, Angle went_on_right) {
  // Unmirrored, the object goes down on "up" and to the left on "right": a quarter turn clockwise.
  return wrap_signed(went_on_right - went_on_up).rad() < 0.0;
}

}  // namespace halfarc
