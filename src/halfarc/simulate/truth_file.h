// The truth beside a simulated recording: what there was to see, and what happened to every frame.
//
// A FITS file: the primary image holds three planes (red, green, blue), float32, of the scene as a perfect telescope of
// the aperture and the camera's pixels show it at the colours' wavelengths; the extension SCENE the bare scene as mean
// brightness per pixel; the extension FRAMES numbers about every frame, one row a frame. Row 0 of an image is its top
// row. Both images are on a scale where a white surface facing Sun and observer is 1, before dispersion, drift and air.
// The columns of FRAMES: seconds after the start (mid-exposure); drift and jitter, x and y; least-squares slope of the
// air's wavefront, x and y; where air and optics moved the centre of green light, x and y (all in pixels); rms of the
// path after piston and tilt, in nanometres. Then Fried's length over
// the stated one; defocus, coma x and coma y, in waves of green at the edge of the pupil; rms of the plume in waves; the
// light that dew keeps and the share of it that is scattered; the turn of the field in degrees, clockwise. The header
// says so too, and in AIRSPAN how long the air lasts before parts of its fine structure come round again.
#pragma once

#include <filesystem>

#include "halfarc/base/result.h"
#include "halfarc/simulate/exposure.h"

namespace halfarc {

// Errors: cannot write there; disk full.
Result<void> write_truth_file(const std::filesystem::path& path, const ShotSpec& shot, const ShotTruth& truth);

}  // namespace halfarc
