// A sequence of PNG or TIFF files as a recording, one frame a file.
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/frames/picture_file.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

// In the order given. Every file's header is read now, so that a picture of another size is refused by name before
// any work is done. Such files carry no times. Errors (bad input): a file that cannot be read or differs from the
// first.
Result<std::unique_ptr<Recording>> open_picture_sequence(std::vector<std::filesystem::path> files, PictureKind kind,
                                                         std::vector<std::string> notes);

}  // namespace halfarc
