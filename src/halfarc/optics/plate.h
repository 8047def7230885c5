// Plate: a flat piece of glass in the closing cone: a filter, a window, a cover glass, square to the light or tilted.
//
// It carries the focus back by about a third of its thickness, a little more in blue, and the edge of the cone a
// little more than its middle, which is spherical aberration. Tilted, it also moves the image and adds coma and
// astigmatism. Everything falls steeply with the focal ratio.
#pragma once

#include <array>

#include "halfarc/base/angle.h"
#include "halfarc/base/length.h"
#include "halfarc/optics/cone.h"
#include "halfarc/optics/glass.h"
#include "halfarc/optics/ray.h"
#include "halfarc/optics/wavefront.h"

namespace halfarc {

struct Plate {
  Glass glass = crown_glass();
  Length thickness = Length::mm(2.0);
  Angle tilt = {};     // of its normal from the axis
  Angle towards = {};  // direction on the image that the normal leans to where the light leaves, clockwise from up
};

// How far a plate that stands square carries the focus back: t (1 - 1/n) for the middle of the cone, and
// t (1 - cos U / sqrt(n^2 - sin^2 U)) for its edge, sin U = 1 / (2 N).
// Valid: tilt nil; focal ratio > 0.5. Accuracy: exact. Source: [Smith2000] 4.8.
Length focus_shift(const Plate& plate, Length wavelength);
Length edge_focus_shift(const Plate& plate, Length wavelength, double focal_ratio);

// How much farther back the focus in one colour lies than in another, by the plate alone.
// Valid: tilt nil. Accuracy: as the glass. Source: [Smith2000] 4.8.
Length colour_shift(const Plate& plate, Length wavelength, Length other);

// How far the plate moves the image towards `towards`: t sin a (1 - cos a / sqrt(n^2 - sin^2 a)).
// Valid: any tilt below 90 deg. Accuracy: exact for the middle of the cone. Source: [Smith2000] 4.8.
Length image_shift(const Plate& plate, Length wavelength);

// The path at the edge of the cone about the focus of its middle, in waves, of a plate that stands square:
// t (sqrt(n^2 - sin^2 U) - n + (1 - cos U) / n). To third order t (n^2 - 1) / (8 n^3) (1 / 2N)^4.
// Valid: tilt nil; focal ratio > 0.5. Accuracy: exact. Source: [BornWolf1999] 5.5 (phase of a slab).
double edge_waves(const Plate& plate, Length wavelength, double focal_ratio);

// The named errors to third order at best focus, u = 1 / (2 N), k = t (n^2 - 1) / (8 n^3): spherical k u^4, coma
// 4 k u^3 a, astigmatism 4 k u^2 a^2 (half of it as W r^2 cos 2t).
// Valid: u and tilt small. Accuracy: 3 % at f/5 and 10 deg. Source: [Smith2000] 4.8, [BornWolf1999] 5.3.
Wavefront third_order(const Plate& plate, const Cone& cone, Length wavelength);

// The two faces, the first on the axis at `z`: for `image_through`, which is exact.
std::array<FlatFace, 2> faces(const Plate& plate, Length wavelength, Length z);

}  // namespace halfarc
