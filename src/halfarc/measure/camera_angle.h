// Camera angle: how the sky lies on the image, from one direction that is known in both.
//
// Position angles on the sky run from north through east; the zenith's is the parallactic angle. On the image they run
// anticlockwise, and clockwise where an odd number of mirrors swaps the sides. So one known direction, and whether the
// image is mirrored, tell where the zenith is.
#pragma once

#include "halfarc/base/angle.h"
#include "halfarc/base/measured.h"

namespace halfarc {

enum class AngleSource { disc, nudge, drift, moons };
enum class Key { up, down, left, right };  // of the handset: altitude up and down, azimuth as the hand faces it

struct CameraAngle {
  Measured<Angle> zenith;       // direction on the image, clockwise from up, [0, 360)
  bool half_turn_known = true;  // else the zenith may as well lie the other way
  bool mirrored = false;
  bool mirror_known = false;  // else mirrored is the owner's word or the usual
  AngleSource source = AngleSource::disc;
};

// Where a position angle points on the image. Valid: any. Accuracy: exact (definition).
Angle on_image(Angle position_angle, Angle zenith, Angle parallactic, bool mirrored);

// The zenith's direction from a direction on the image whose position angle is known (the pole, the west of a drift).
// Valid: any. Accuracy: exact (definition).
Angle zenith_from(Angle direction, Angle position_angle, Angle parallactic, bool mirrored);

// The zenith's direction from where the object went on the image while a key was pressed: the telescope follows the
// key, the object goes the other way. Valid: a mount that moves in altitude and azimuth. Accuracy: exact (definition).
Angle zenith_from_key(Angle went, Key key, bool mirrored);

// Whether the image is mirrored, from where the object went under the keys up and right. Accuracy: exact (definition).
bool mirrored_from_keys(Angle went_on_up, Angle went_on_right);

}  // namespace halfarc
