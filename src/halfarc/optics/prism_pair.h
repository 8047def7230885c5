// PrismPair: the dispersion corrector: two equal thin prisms, each turned about the axis by its own lever.
//
// The air lifts blue more than red. A prism does the same with its base as "up". Turned against each other the two
// cancel; opening both levers by the same angle a in opposite senses adds their pulls, 2 (n-1) A sin a, along one
// direction that does not turn: the roll, set by turning the whole corrector. (Counted from where the prisms help each
// other it is the cosine of the lever.) A pull is an angle at the corrector: times the distance to the focus it is a
// shift of the image, and over the focal length an angle on the sky. So the distance is part of the corrector's power,
// and blue, red and the target itself move when the levers do.
//
// The faces that the prisms turn to each other are the slanted ones. Common practice, from memory: two wedges of 2 or 4
// degrees of crown glass or fused silica. The closed forms here are for thin wedges; exact rays: prism_trace.h; what is
// left inside a colour plane: prism_colour.h.
#pragma once

#include "halfarc/base/angle.h"
#include "halfarc/base/length.h"
#include "halfarc/base/pixel.h"
#include "halfarc/optics/cone.h"
#include "halfarc/optics/glass.h"

namespace halfarc {

// The owner's scale. Both levers stand at 0 marks where the prisms cancel; the angle is in proportion to the marks.
struct LeverScale {
  double lowest = 0.0;
  double highest = 10.0;
  Angle at_highest = Angle::deg(90.0);
};

struct Levers {
  double first = 0.0;  // marks; the first is the prism that the light meets first
  double second = 0.0;
};
constexpr Levers both_at(double marks) { return {marks, marks}; }

struct PrismPair {
  Glass glass = crown_glass();
  Angle apex = Angle::deg(2.0);        // between the two faces of each prism
  Length thickness = Length::mm(4.0);  // of each prism, on the axis
  Length gap = Length::mm(3.0);        // of air between them, on the axis
  LeverScale scale = {};
  Angle roll = {};  // direction on the image that opening both levers moves the target in, clockwise from up
};

// The cone of light that the corrector stands in. Behind an amplifier: that which reaches the sensor. Before one: the
// telescope's own, whose focus the light would reach if the amplifier were not there.
struct CorrectorPlace {
  Cone cone;
  Length focal_length = Length::mm(4060.0);  // of everything in front of that focus
  Length to_focus = Length::mm(80.0);        // in air, from the corrector's last face
};

// A shift of the image on the sensor, along the image's axes, and the same in pixels of the given side.
struct SensorOffset {
  Length x;
  Length y;
};
PixelOffset in_pixels(SensorOffset offset, Length pixel);

// Valid: highest not nil. Accuracy: exact (definition).
Angle lever_angle(const LeverScale& scale, double marks);
double marks_at(const LeverScale& scale, Angle lever);

// Where the base of each prism points, clockwise from up on the image: at 0 marks to the right and to the left of the
// roll; opening a lever turns its base towards the roll. Accuracy: exact (definition).
Angle first_base(const PrismPair& pair, Levers levers);
Angle second_base(const PrismPair& pair, Levers levers);

// The pull of one prism, (n - 1) A. Valid: apex below 10 deg. Accuracy: 0.08 % at 2 deg, 2 % at 10 deg.
// Source: [BornWolf1999] 4.7.2.
Angle deviation(const PrismPair& pair, Length wavelength);

// Where the image of one colour lies, counted from the axis: each prism's pull times its own distance to the focus,
// to_focus + t / n for the second and the gap more for the first. At 0 marks the gap's share is left, sideways.
// Valid: apex below 5 deg. Accuracy: 0.3 % of one prism's pull at 2 deg. Source: vector sum of [BornWolf1999] 4.7.2.
SensorOffset image_shift(const PrismPair& pair, Levers levers, const CorrectorPlace& place, Length wavelength);

// How the target moves when the levers do. Valid, accuracy: as `image_shift`.
SensorOffset target_shift(const PrismPair& pair, Levers from, Levers to, const CorrectorPlace& place,
                          Length wavelength);

// How far blue is moved away from red, on the sky, along the image's axes. Valid, accuracy: as `image_shift`.
SkyOffset dispersion(const PrismPair& pair, Levers levers, const CorrectorPlace& place, Length red, Length blue);

// The roll that pulls against the air, when the zenith lies in the given direction on the image.
inline Angle roll_against(Angle zenith) { return wrap_positive(zenith + Angle::deg(180.0)); }

// How far blue lies from red with the corrector in its place, towards the zenith and to the right of it (90 degrees
// clockwise on the image). `air` is how much higher the air alone puts blue.
// Valid, accuracy: as `image_shift`.
struct LeftOver {
  Angle along;
  Angle across;
};
LeftOver left_over(const PrismPair& pair, Levers levers, const CorrectorPlace& place, Angle zenith, Angle air,
                   Length red, Length blue);

// Where both levers must stand to cancel the air's dispersion from red to blue.
struct LeverSetting {
  bool enough = true;  // false: the corrector cannot; `marks` is the best it can do
  double marks = 0.0;
  Angle reach;  // the most dispersion that it cancels in this place
  Angle left;   // of the air's, with the levers at `marks`; nil when it is enough
};
// Valid: red longer than blue. Accuracy: as `image_shift`.
LeverSetting marks_for(const PrismPair& pair, const CorrectorPlace& place, Angle air, Length red, Length blue);

// The setting whose pull is the given share (sin a) of the most that two prisms give together, which is `full`; the
// nearest on the scale when there is none. `left` is for the caller to say. Accuracy: exact.
LeverSetting marks_for_share(const LeverScale& scale, double share, Angle full);

// How much more dispersion one more mark on both levers cancels. Valid, accuracy: as `image_shift`.
Angle per_mark(const PrismPair& pair, double marks, const CorrectorPlace& place, Length red, Length blue);

}  // namespace halfarc
