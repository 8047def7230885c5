// One layer of a finished image on disk, as image_writers.h wrote it: the primary image or the extension of a name.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/frames/plane.h"

namespace halfarc {

// Its planes, one or three, as float. An empty name is the primary image. Thread safe.
// Errors (bad input): not FITS; no layer of that name; not two axes, or three with one or three planes; absurd sizes.
Result<std::vector<Plane<float>>> read_fits_layer(const std::filesystem::path& path, const std::string& name);

}  // namespace halfarc
