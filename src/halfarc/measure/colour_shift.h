// Colour shift: how far red and blue lie from green, which is what atmospheric dispersion and lenses do to a picture.
//
// On a star the offsets of the single frames' centroids are averaged; their errors allow for the slow changes of the
// air. On an over-exposed disc that says where each colour's limb lies, and a cap or a phase that is brighter in one
// colour moves it: a hundredth of the diameter is added to the error for that (a cautious guess, from few discs). A
// well exposed disc is better served by its detail (restore/colour_align.h).
#pragma once

#include <optional>

#include "halfarc/base/measured.h"
#include "halfarc/base/pixel.h"
#include "halfarc/measure/index.h"

namespace halfarc {

struct ColourShift {
  PixelOffset red_minus_green, blue_minus_green;  // pixels
  PixelOffset red_sigma, blue_sigma;

  double sigma() const;  // the largest of the four
};

// From the index. Nothing when fewer than 10 frames show an object.
// `disc_diameter` in pixels, 0 for a star.
std::optional<ColourShift> colour_shift_of_frames(const RecordingIndex& index, double disc_diameter);

}  // namespace halfarc
