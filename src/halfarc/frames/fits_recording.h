// Recordings in FITS: a cube of frames in one file, or a sequence of files with one frame each.
#pragma once

#include <cstddef>
#include <filesystem>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/frames/input_file.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

bool looks_like_fits(std::span<const std::byte> head);

// The number of frames a FITS file says it holds; more than one makes it a cube whatever its name.
Result<std::size_t> fits_frame_count(const std::filesystem::path& path);

// Errors (bad input): as read_fits_header and fits_array; not one whole frame.
Result<std::unique_ptr<Recording>> open_fits_cube(InputFile file);

// One frame a file, in the order given. Errors (bad input): as above; a file that differs from the first in size or
// coding, or that is cut off. `notes` (about gaps in the numbers) go into the recording's.
Result<std::unique_ptr<Recording>> open_fits_sequence(std::vector<std::filesystem::path> files,
                                                      std::vector<std::string> notes);

}  // namespace halfarc
