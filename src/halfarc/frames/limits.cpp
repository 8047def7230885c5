#include "halfarc/frames/limits.h"

#include <fmt/format.h>

namespace halfarc {

Result<void> check_frame_size(std::int64_t width, std::int64_t height, Mosaic mosaic, Sample sample,
                              const std::filesystem::path& path) {
  const auto refuse = [&](std::string_view why) {
    return bad_input(fmt::format("says its frames are {} x {} pixels, {}", width, height, why), path.string(),
                     "the header is damaged: record again");
  };
  if (width < 1 || height < 1) return refuse("which is no size");
  if (width > kMostSide || height > kMostSide) return refuse("which no camera has");
  const auto pixels = static_cast<std::uint64_t>(width) * static_cast<std::uint64_t>(height);
  const auto bytes_per_pixel = static_cast<std::uint64_t>(samples_per_pixel(mosaic)) * bytes_per_sample(sample);
  if (pixels * bytes_per_pixel > kMostFrameBytes) return refuse("larger than any frame halfarc can hold");
  return {};
}

Result<void> check_frame_count(std::uint64_t frames, const std::filesystem::path& path) {
  if (frames == 0) return bad_input("holds no frames", path.string(), "record again");
  if (frames > kMostFrames) {
    return bad_input(fmt::format("holds {} frames, more than any recording", frames), path.string(),
                     "the header is damaged: record again");
  }
  return {};
}

}  // namespace halfarc
