// Shadows: dust before the sensor, seen in a clip of something evenly lit: the twilight sky, or a lit cloth before the
// telescope.
//
// Dust on a glass throws a soft disc that stays on the same pixels; behind a telescope with a central obstruction it
// has a lighter middle. The mean of the frames is divided by its smooth light (a polynomial of the third degree each
// way) and searched with windows of several sizes for what stands out of the scatter of windows of that size.
#pragma once

#include <vector>

#include "halfarc/base/measured.h"
#include "halfarc/base/pixel.h"
#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

struct Shadow {
  PixelPoint place;           // on the sensor
  Measured<double> diameter;  // pixels, to half its depth
  Measured<double> loss;      // of the recorded level, in its even part
};

struct Shadows {
  std::vector<Shadow> found;  // the darkest first, 12 at most
  double plain_loss = 0.0;    // of a shadow 24 pixels wide: what is darker would have been seen
  double unevenness = 0.0;    // relative scatter of 16 x 16 pixels about the smooth light

  // Whether it was evenly lit indeed: half a minute of arc of a landscape on the Moon is twice as uneven, and photons
  // alone make 0.0014 of ten frames of 200 electrons. The bound is common practice.
  bool evenly_lit() const { return unevenness < 0.0025; }
};

// From 100 frames at most; none are looked for in what is not evenly lit. The camera's black level counts as light, so
// that losses are too small by its share of what was recorded. Valid: shadows 8 to 200 pixels wide. Accuracy: the loss
// within its error and 2 % of itself, the diameter within 5 % (tests/measure/shadows_test.cpp). Errors (bad input): a
// frame smaller than 96 pixels a side, or dark; those of reading.
Result<Shadows> shadows_on(const Recording& recording);

}  // namespace halfarc
