// What a reading must know of the telescope that made a clip.
#pragma once

#include "halfarc/base/length.h"
#include "halfarc/base/pixel.h"
#include "halfarc/optics/pupil.h"

namespace halfarc {

struct ClipOptics {
  Pupil pupil;
  Length wavelength = Length::nm(540.0);  // of the green plane, or of a mono camera's band
  PlateScale scale;
};

}  // namespace halfarc
