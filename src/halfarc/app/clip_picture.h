// ClipPicture: what a recording shows, to look at: the mean of its sharper frames, stretched. Seeing inside the frames
// stays, nothing is sharpened.
#pragma once

#include <filesystem>
#include <string>

#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"

namespace halfarc {

// A PNG about `width` pixels wide, never enlarged. At most 300 frames, spread over the recording, are looked at, so
// that a long run answers as fast as a clip; where nothing can be followed the middle frame is shown as it is. Errors:
// those of reading.
Result<std::string> clip_picture(const std::filesystem::path& clip, int width, Threads threads, Progress& progress);

}  // namespace halfarc
