// What a recording may at most be. Beyond these a header is damaged or made to harm, and is refused before any memory
// is asked for.
#pragma once

#include <cstddef>
#include <cstdint>

#include "halfarc/base/result.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

constexpr std::int64_t kMostSide = 65'535;                                   // pixels
constexpr std::uint64_t kMostFrameBytes = std::uint64_t{256} * 1024 * 1024;  // 4 x the largest sensor in the trade
constexpr std::uint64_t kMostFrames = std::uint64_t{1} << 24;                // 4.6 hours at 1000 frames a second

// Errors (bad input): a side outside [1, kMostSide], a frame above kMostFrameBytes.
Result<void> check_frame_size(std::int64_t width, std::int64_t height, Mosaic mosaic, Sample sample,
                              const std::filesystem::path& path);

// Errors (bad input): no frames, or more than kMostFrames.
Result<void> check_frame_count(std::uint64_t frames, const std::filesystem::path& path);

}  // namespace halfarc
