// Depth of focus: how far focus may be off before the image shows it, told in everything that can put it off.
//
// Defocus of W waves at the edge of the pupil puts the image 8 N^2 W lambda from the sensor: a quarter wave, the usual
// bound, is 2 lambda N^2. Behind an amplifier of M the telescope's own focus is M^2 times as near, and the mirror m^2
// times nearer again.
#pragma once

#include "halfarc/base/temperature.h"
#include "halfarc/optics/train.h"

namespace halfarc {

inline constexpr double kQuarterWave = 0.25;  // Rayleigh's bound: Strehl 0.81 of a clear pupil
inline constexpr double kEighthWave = 0.125;  // the careful bound: Strehl 0.95

// Each to either side of best focus.
struct FocusDepth {
  Length sensor;
  Length telescope_focus;
  Length travel;  // of what the knob moves
  double knob_turns = 0.0;
  TemperatureDifference tube;
};

// Valid: focal ratio >= 5; a small part of the travel. Accuracy: 1 %. Source: [BornWolf1999] 8.8, 9.3.
FocusDepth focus_depth(const Telescope& telescope, const TrainSolution& train, Length wavelength, double edge_waves);

}  // namespace halfarc
