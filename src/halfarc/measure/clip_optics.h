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
  // How far the air draws the green plane's own light out, against how far it parts the middles of blue and red: the
  // standard deviation over that distance. 0: a narrow band.
  double smear_share = 0.0;
};

}  // namespace halfarc
