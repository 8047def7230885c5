// Histogram: how the samples of a clip use the camera's steps of brightness, colour by colour.
//
// A recording that was stretched or scaled on its way to the disk shows it: some steps never occur between others that
// do (stretched), or some hold twice as many samples as those beside them (squeezed). Both lose what no later care
// brings back.
#pragma once

#include <array>
#include <cstddef>

#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

struct ColourHistogram {
  std::size_t samples = 0;
  double highest = 0.0;   // ADU
  double high = 0.0;      // ADU: one sample in a thousand is brighter
  double at_top = 0.0;    // share of samples at full scale
  double at_zero = 0.0;   // share of samples at nil, where darkness is clipped
  double missing = 0.0;   // share of the steps in the middle of the range that never occur where many should
  double doubled = 0.0;   // share of those steps that hold far more than both neighbours
  std::size_t steps = 0;  // different steps that occur
};

struct Histogram {
  std::array<ColourHistogram, 3> colours{};  // red, green, blue; mono is green
  bool stretched() const;                    // missing steps
  bool squeezed() const;                     // doubled steps
  double bits() const;                       // log2 of the steps that occur, of the colour that has most
};

// From up to 24 frames over the recording. Valid: integer samples; floating point ones give zero steps.
// Errors: those of reading.
Result<Histogram> histogram(const Recording& recording);

}  // namespace halfarc
