// Blur: one cause that takes contrast from fine detail, as a transfer function, and the currency in which all causes
// are counted.
//
// A transfer function says what share of a sinusoid's contrast is left, for every frequency and direction on the sky.
// The currency is the half-arc contrast: what is left at a period of one arcsecond, which is detail of half an
// arcsecond, in the mean over directions. Its equivalent width is that of the Gaussian blur which would leave as much.
// Frame: y of a frequency runs along the vertical circle (towards the zenith), x along the horizon.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "halfarc/base/angle.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/spatial_frequency.h"
#include "halfarc/optics/wavefront.h"

namespace halfarc {

enum class Cause {
  diffraction,
  pixels,
  air,
  tube_heat,
  collimation,
  focus,
  corrector,
  dispersion_between,
  dispersion_inside,
  exposure,
  spin,
  field_rotation,
  registration,
  noise,
};

// "air", "tube heat" and so on, as people say it; and the name in documents: "tube_heat".
std::string_view words_of(Cause cause);
std::string_view name_of(Cause cause);

// What the owner can do about it, in a few words; empty where nothing can be done tonight.
std::string_view remedy_of(Cause cause);

using TransferFunction = std::function<double(const SkyFrequency&)>;

struct Blur {
  Cause cause = Cause::diffraction;
  TransferFunction transfer;
  // The same with each uncertain input in turn moved by its standard error.
  std::vector<TransferFunction> moved;
  bool measured = false;  // by a reading; else predicted from rig, site and hour
  bool undone = false;    // by the making of the image, so that it does not count in the total
  std::string because;    // the inputs in words: "0.2 waves of defocus"
};

inline constexpr SpatialFrequency kHalfArc = SpatialFrequency::per_arcsec(1.0);

// The mean over directions of what a transfer function leaves at a frequency.
// Valid: any. Accuracy: 1e-3 for shapes with no more than two lobes over half a turn. Source: definition.
double mean_over_directions(const TransferFunction& transfer, SpatialFrequency frequency);

// The half-arc contrast of a blur, with the error that its inputs' errors make of it.
Measured<double> half_arc_contrast(const Blur& blur);

// The width at half maximum of the Gaussian blur that leaves this contrast at the half-arc frequency:
// sqrt(-4 ln 2 ln c) / (pi f). Valid: 0 < c <= 1 (clamped to 1e-4 from below). Accuracy: exact. Source: definition.
Angle equivalent_fwhm(double half_arc_contrast);

}  // namespace halfarc
