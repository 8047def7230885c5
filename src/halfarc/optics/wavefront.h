// Wavefront: the errors of an optical train that have names, and the contrast they leave in detail of any fineness.
//
// Each is stated by its amount W at the edge of the pupil, in waves of light of `wavelength`: defocus W r^2, spherical
// aberration W r^4, coma W r^3 along x and y, astigmatism W r^2 cos 2t and W r^2 sin 2t, r in units of the pupil's
// radius. An amount is a length of path, so in bluer light it counts more waves.
#pragma once

#include "halfarc/base/length.h"
#include "halfarc/base/spatial_frequency.h"
#include "halfarc/optics/pupil.h"

namespace halfarc {

struct Wavefront {
  double defocus = 0.0;
  double spherical = 0.0;
  double coma_x = 0.0;
  double coma_y = 0.0;
  double astigmatism = 0.0;
  double astigmatism_45 = 0.0;
  Length wavelength = Length::nm(550.0);  // of the waves that the amounts count
};

// A frequency on the sky with its direction: how often the brightness of a sinusoid comes round along x and along y.
struct SkyFrequency {
  SpatialFrequency x;
  SpatialFrequency y;

  SpatialFrequency length() const;
};

// The path at a place of the pupil given in units of its radius. Valid: any. Accuracy: exact.
Length path(const Wavefront& wavefront, double x, double y);

// The contrast that the wavefront leaves of what a perfect telescope with this pupil would show, in 0 to 1: the overlap
// of the pupil's field with itself shifted by lambda nu, over that of the bare pupil. 1 at frequency nil, and 1 beyond
// the cut-off, where there is nothing to lose.
// Valid: up to about 3 waves. Accuracy: 0.002 (128 cells across, 256 above 1 wave). Source: [Goodman2005] 6.4.
double contrast_left(const Wavefront& wavefront, const Pupil& pupil, Length wavelength, const SkyFrequency& frequency);

// The same for light that has all directions in turn: the mean over directions of the frequency.
double contrast_left(const Wavefront& wavefront, const Pupil& pupil, Length wavelength, SpatialFrequency frequency);

// The rms of the path over the annulus in waves of `wavefront.wavelength`, after piston and tilt are taken out.
// Valid: any. Accuracy: 1 %. Source: definition.
double rms_waves(const Wavefront& wavefront, const Pupil& pupil);

}  // namespace halfarc
