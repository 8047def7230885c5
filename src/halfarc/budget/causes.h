// Causes: the transfer functions of all that blurs an image, each from the few numbers that say how much of it there
// is.
//
// Measured inputs carry their standard errors into the blur. Angles of smears are from the horizontal towards the
// zenith. Colour is one wavelength: the middle of the colour plane asked about.
#pragma once

#include <array>

#include "halfarc/base/length.h"
#include "halfarc/base/measured.h"
#include "halfarc/budget/blur.h"
#include "halfarc/optics/pupil.h"
#include "halfarc/optics/wavefront.h"

namespace halfarc {

// A perfect telescope. Valid: any pupil. Accuracy: 1e-12. Source: [ONeill1956].
Blur diffraction_blur(const Pupil& pupil, Length wavelength);

// Averaging over square pixels. Samples of a mosaic that fall where they may over many frames blur no more than this.
// Valid: detail coarser than two pixels. Accuracy: exact. Source: [BornWolf1999] (box function).
Blur pixel_blur(Angle pixel);

// Air in the mean of short exposures that are aligned to each other, the sharpest `kept` share of them; r0 at 500 nm
// along the line of sight.
// Valid, Accuracy, Source: as air/aligned_exposures.h, times what the error of r0 makes of it.
Blur air_blur(const Pupil& pupil, Length wavelength, Measured<Length> r0, double kept);

// Warm air in the tube and over the mirror, told by the width it alone would give a star. It is slow, and follows the
// law of turbulent air. Valid: widths below 3". Accuracy: the shape is an assumption (common practice).
Blur tube_heat_blur(Length wavelength, Measured<Angle> fwhm);

// Named errors of the wavefront, with those errors' errors. Valid, Accuracy, Source: as optics/wavefront.h.
Blur wavefront_blur(Cause cause, const Pupil& pupil, Length wavelength, const Wavefront& middle,
                    const Wavefront& sigma = {});

// Three colours of the given weights, drawn apart along the vertical, seen as one picture without aligning them.
// Valid: any. Accuracy: exact. Source: shift theorem.
Blur between_colours_blur(const std::array<Measured<Angle>, 3>& along_vertical, const std::array<double, 3>& weights);

// A colour plane whose own colours are drawn out along the vertical with the given rms.
// Valid: transfer above 0.5, where the shape of the band does not matter. Accuracy: 0.02 there. Source: central limit.
Blur inside_colour_blur(Measured<Angle> rms);

// An even movement over a length: drift, spin, the turning of the field. Valid: any. Accuracy: exact.
Blur smear_blur(Cause cause, Measured<Angle> length, Angle direction);

// A random displacement with the same rms along both axes. Valid: Gaussian. Accuracy: exact.
Blur jitter_blur(Cause cause, Measured<Angle> rms_per_axis);

// Noise takes nothing from contrast, but the best linear filter cannot return what noise covers: of detail of power S
// over noise of power N it keeps S/(S+N). `signal_to_noise` is the amplitude ratio at the half-arc frequency; it falls
// with frequency as the contrast that is left does.
// Valid: any. Accuracy: exact for that filter. Source: [Wiener1949].
Blur noise_blur(Measured<double> signal_to_noise);

// The amplitude ratio for it: detail of relative contrast `detail` that the whole train lets through with `contrast`,
// in a patch of half an arcsecond, from `frames` frames of `electrons` a pixel and `read_noise` electrons. Valid: even
// light. Accuracy: exact for photon and read noise. Source: counting statistics.
double detail_signal_to_noise(double detail, double contrast, double electrons, double read_noise, double frames,
                              Angle pixel);

}  // namespace halfarc
