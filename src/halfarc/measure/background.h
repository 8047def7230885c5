// Background: what the sky of a clip says: on which side something bright lies outside the frame, and whether the light
// of the object fades as it would behind a veil of dew.
#pragma once

#include <optional>
#include <span>

#include "halfarc/base/angle.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

// The slope of the mean frame. A sensor's own glow or a vignette makes one as well; light from a planet beyond the edge
// grows towards it.
struct Gradient {
  Measured<double> across;                 // ADU by which it rises from one side of the frame to the other
  std::optional<Measured<Angle>> towards;  // clockwise from up; nothing when no slope stands out (4 sigma)
};

// From cells of 16 x 16 samples over at most 100 frames, their own scatter about the plane being the error.
// Valid: a frame without an object. Errors (bad input): a frame of fewer than 12 cells; those of reading.
Result<Gradient> background_gradient(const Recording& recording);

// How fast light fades beyond what the air explains: d ln(flux) / dt per hour, negative when it falls. The extinction
// may be anything near 0.25 +- 0.1 mag an airmass (common practice); its uncertainty is in the error, and so is the
// correlation of the series (measure/series.h). `hours` and `airmass` one a value; airmass may be empty for a clip of
// seconds. Nothing for fewer than 5 values, fluxes that are not positive, or no span of time.
std::optional<Measured<double>> fading(std::span<const double> hours, std::span<const double> flux,
                                       std::span<const double> airmass);

}  // namespace halfarc
