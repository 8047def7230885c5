// Amplifier: lenses between telescope and camera that make the focal length longer.
//
// A row of thin lenses on the axis. One negative lens (a Barlow) magnifies M = 1 + d/F at a distance d before the
// sensor: more distance, more magnification. A negative lens with a positive one behind it can be made so that the
// distance no longer matters (a telecentric pair): together they have no focal length.
//
// Distances here are in air; a converging lens has a positive focal length.
#pragma once

#include <vector>

#include "halfarc/base/length.h"

namespace halfarc {

struct ThinLens {
  Length at;  // behind the front face of the part that holds it; negative: further towards the telescope
  Length focal_length;
};

// The focal length (positive) of the negative lens that magnifies M at a distance d: F = d / (M - 1).
// Valid: M > 1. Accuracy: exact, thin lens. Source: [BornWolf1999] 4.4.
Length amplifier_focal_length(double magnification, Length lens_to_sensor);

// One negative lens that magnifies M when it stands `lens_to_sensor` before the sensor.
// Valid, Accuracy, Source: as `amplifier_focal_length`.
std::vector<ThinLens> single_amplifier(double magnification, Length lens_to_sensor, Length at);

// A negative lens and, `gap` behind it, a positive one that together leave parallel light parallel: focal lengths
// -gap / (M - 1) and gap M / (M - 1). Valid: M > 1. Accuracy: exact, thin lenses. Source: [BornWolf1999] 6.4 (the
// telescope of Galilei turned round).
std::vector<ThinLens> telecentric_amplifier(double magnification, Length gap, Length at);

// What lenses do when the image lies `sensor` behind the front face of their part.
struct Amplification {
  double magnification = 1.0;  // of the focal length and of the focal ratio; the image is M^2 dimmer
  Length focus;                // where the telescope's focus lies without the lenses, behind the front face
  Length focus_moves_out;      // focus - sensor: negative when putting the lenses in asks for focus further in
  double per_mm = 0.0;         // change of magnification for each mm that the sensor moves away
};

// Valid: lenses in order, the last before the sensor. Accuracy: exact, thin lenses.
// Source: [BornWolf1999] 4.4 (M = d/F + 1 for one lens).
Amplification amplification(const std::vector<ThinLens>& lenses, Length sensor);

}  // namespace halfarc
