// The truth beside a simulated recording: what there was to see, and what happened to every frame.
//
// A FITS file: the primary image holds three planes (red, green, blue), float32, of the scene as a perfect telescope of
// the aperture and the camera's pixels show it at the colours' wavelengths; the extension SCENE the bare scene as mean
// brightness per pixel; the extension FRAMES numbers about every frame, one row a frame. Row 0 of an image is its top
// row. Both images are on a scale where a white surface facing Sun and observer is 1, before dispersion, drift and air.
// The columns of FRAMES: seconds after the start (mid-exposure); drift and jitter, x and y; least-squares slope of the
// air's wavefront, x and y; where air and optics moved the centre of green light, x and y (all in pixels); rms of the
// path after piston and tilt, in nanometres. The header says so too.
#pragma once

#include <filesystem>

#include "halfarc/base/result.h"
#include "halfarc/simulate/exposure.h"

namespace halfarc {

// Errors: cannot write there; disk full.
Result<void> write_truth_file(const std::filesystem::path& path, const ShotSpec& shot, const ShotTruth& truth);

}  // namespace halfarc
