// Pupil: the telescope's opening, and what a perfect telescope with that opening shows.
//
// The pupil is a disc of the aperture's diameter with a round central obstruction. Everything here is in closed form
// (or one-dimensional quadrature of a closed form) for a perfect wavefront, except the Strehl ratios, which say how
// much of the peak an imperfect wavefront leaves. Sampled pupils with any wavefront: sampled_pupil.h.
#pragma once

#include "halfarc/base/angle.h"
#include "halfarc/base/length.h"
#include "halfarc/base/spatial_frequency.h"

namespace halfarc {

struct Pupil {
  Length diameter = Length::mm(203.0);
  double obstruction = 0.0;  // diameter of the shadow of the secondary as a fraction of the aperture's
};

// A place in the pupil, seen from the sensor: x to the right, y down like the image, origin on the axis.
struct PupilPoint {
  Length x;
  Length y;
};

// The finest detail that reaches the sensor: D / lambda in cycles per radian.
// Valid: any pupil. Accuracy: exact. Source: [BornWolf1999].
SpatialFrequency cut_off(const Pupil& pupil, Length wavelength);

// The modulation transfer function: contrast kept at a spatial frequency; 1 at zero, 0 from the cut-off on. It is
// the overlap of the pupil with itself shifted by lambda nu, as a fraction of its area.
// Valid: 0 <= obstruction < 1, either sign of frequency. Accuracy: 1e-12. Source: [ONeill1956].
double perfect_mtf(const Pupil& pupil, Length wavelength, SpatialFrequency frequency);

// The contrast that averaging over a square pixel of side `pixel` leaves along one axis: sinc(pixel nu).
// Valid: any. Accuracy: exact. Source: [BornWolf1999] (box function).
double pixel_mtf(Angle pixel, SpatialFrequency frequency_along_axis);

// The amplitude of the point spread at an angle from the centre, 1 at the centre, negative in the odd rings:
// [2 J1(v)/v - e^2 2 J1(e v)/(e v)] / (1 - e^2), v = pi D theta / lambda. Its square is the intensity.
// Valid: 0 <= obstruction < 1. Accuracy: 1e-12. Source: [BornWolf1999] 8.5, [Mahajan1998].
double point_amplitude(const Pupil& pupil, Length wavelength, Angle from_centre);
double point_intensity(const Pupil& pupil, Length wavelength, Angle from_centre);

// The share of a point's light inside a circle of the given radius.
// Valid: radius up to 50 lambda/D. Accuracy: 1e-6. Source: [Mahajan1998].
double encircled_energy(const Pupil& pupil, Length wavelength, Angle radius);

// The full width at half maximum of the point spread, and the radius of its first dark ring.
// Valid: obstruction up to 0.8. Accuracy: 1e-9 relative. Source: roots of `point_amplitude`.
Angle point_fwhm(const Pupil& pupil, Length wavelength);
Angle first_dark_ring(const Pupil& pupil, Length wavelength);

// The share of the perfect peak left by defocus of `waves` at the edge of the pupil: sinc^2(W (1 - e^2)).
// Valid: any amount. Accuracy: exact. Source: [BornWolf1999] 9.3, [Mahajan1998].
double defocus_strehl(const Pupil& pupil, double waves);

// The rms wavefront error over the annulus, in waves, of a defocus of `waves` at the edge: W (1 - e^2) / sqrt(12).
// Valid: any amount. Accuracy: exact. Source: [BornWolf1999] 9.3.
double defocus_rms_waves(const Pupil& pupil, double waves);

// The share of the perfect peak left by a wavefront error of the given rms, in waves: exp(-(2 pi rms)^2).
// Valid: rms <= 1/10 wave. Accuracy: 0.02 there. Source: [Mahajan1998] (the Marechal approximation).
double strehl_of_rms(double rms_waves);

// How far along the axis the focus lies from best focus when the wavefront is out by `waves` at the edge:
// 8 N^2 W lambda. Valid: focal ratio >= 5. Accuracy: 1 % at f/5, better above. Source: [BornWolf1999] 8.8.
Length focus_shift(double waves, Length wavelength, double focal_ratio);

}  // namespace halfarc
