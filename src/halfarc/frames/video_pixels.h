// From a decoded video frame to the samples a Recording hands out.
#pragma once

#include <cstddef>
#include <span>
#include <string>

#include "halfarc/base/result.h"
#include "halfarc/frames/ffmpeg.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

struct VideoPixels {
  enum class Way {
    bytes,       // 8-bit samples as they lie: grey or Bayer
    words,       // 16-bit samples, little- or big-endian: Bayer
    components,  // grey or RGB of 8 to 16 bits, packed or in planes
    palette,     // 8-bit indices into a palette
    converted,   // everything else, through swscale to RGB
  };
  Way way = Way::converted;
  AVPixelFormat format = AV_PIX_FMT_NONE;
  Mosaic mosaic = Mosaic::rgb;
  Sample sample = Sample::u8;
  int bits = 8;
  std::string note;  // what was done to the samples, or empty
};

// How frames like this one are turned. Errors (bad input): samples on a graphics card or in floating point.
Result<VideoPixels> video_pixels(const AVFrame& frame, const std::filesystem::path& path);

// Not thread safe: keeps swscale's tables.
class PixelCopier {
 public:
  explicit PixelCopier(VideoPixels pixels) : pixels_(std::move(pixels)) {}

  // Errors: the frame is of another size or kind than the first.
  Result<void> copy(const AVFrame& frame, int width, int height, std::span<std::byte> into,
                    const std::filesystem::path& path);

 private:
  Result<void> convert(const AVFrame& frame, std::span<std::byte> into, const std::filesystem::path& path);

  VideoPixels pixels_;
  AvPointer<SwsContext> scaler_;
  AvPointer<AVFrame> converted_;
};

}  // namespace halfarc
