// Colour shift: how far red and blue lie from green, which is what atmospheric dispersion and lenses do to a picture.
//
// On a disc each colour's mean is fitted by itself and the centres are compared: markings that differ from colour to
// colour move the fitted limb little, and what they do move shows in the fits' errors. On a star or an over-exposed
// disc the offsets of the single frames are averaged; their errors allow for the slow changes of the air.
#pragma once

#include <optional>

#include "halfarc/base/measured.h"
#include "halfarc/base/pixel.h"
#include "halfarc/base/result.h"
#include "halfarc/measure/aligned_mean.h"
#include "halfarc/measure/disc_fit.h"
#include "halfarc/measure/index.h"

namespace halfarc {

struct ColourShift {
  PixelOffset red_minus_green, blue_minus_green;  // pixels
  PixelOffset red_sigma, blue_sigma;

  double sigma() const;  // the largest of the four
};

// From fits of the three planes of the mean. Nothing for mono or when a colour is not a disc.
std::optional<ColourShift> colour_shift_of_disc(const AlignedMean& mean, const DiscGuess& guess);

// From the index. Nothing when fewer than 10 frames show an object.
std::optional<ColourShift> colour_shift_of_frames(const RecordingIndex& index);

}  // namespace halfarc
