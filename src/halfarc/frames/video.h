// Video files (AVI, MOV/MP4, MKV) as recordings, through FFmpeg's libraries.
//
// A video is decoded by one decoder under a lock: reading on from where the last read ended costs nothing extra, any
// other frame a jump to the key frame before it. Frames are counted by looking at every packet (for uncompressed AVI:
// at its index), never taken from a header. Samples: grey of 8 to 16 bits as mono, RGB and raw Bayer as they are,
// palettes and YUV turned into RGB. Only local files are opened, only these three containers, whatever a file asks for.
#pragma once

#include <memory>
#include <span>

#include "halfarc/base/result.h"
#include "halfarc/frames/input_file.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

bool looks_like_video(std::span<const std::byte> head);

// Errors (bad input): no video in it; a coding FFmpeg does not know; absurd sizes; not one frame that can be decoded.
Result<std::unique_ptr<Recording>> open_video(const InputFile& file);

}  // namespace halfarc
