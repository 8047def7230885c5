// The files of a finished image: FITS with its proof, TIFF for further work, PNG to look at.
#pragma once

#include <filesystem>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"
#include "halfarc/restore/restore_image.h"

namespace halfarc {

struct MadeImage;

// The names that write_image_files gives: `output` itself, and beside it .tif and .png.
std::vector<std::filesystem::path> image_file_names(const std::filesystem::path& output);

// Writes `output` (FITS: restored planes; STACK, TRUST, HALF1, HALF2) and, beside it, .tif (linear) and .png (with the
// usual curve of screens), each whole or not at all. The pictures have the size of the recording's frames; what lies
// outside the window is sky. Returns the names written.
Result<std::vector<std::filesystem::path>> write_image_files(const RestoredImage& image, const Window& window,
                                                             const RecordingInfo& info, const MadeImage& made,
                                                             const std::filesystem::path& output);

}  // namespace halfarc
