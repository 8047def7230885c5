#include "halfarc/frames/video_pixels.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <optional>
#include <utility>
#include <vector>

#include "halfarc/frames/byte_order.h"

namespace halfarc {
namespace {

using Way = VideoPixels::Way;

struct RawFormat {
  AVPixelFormat format;
  Mosaic mosaic;
  bool sixteen;
};

constexpr std::array<RawFormat, 12> kBayer = {{{AV_PIX_FMT_BAYER_RGGB8, Mosaic::rggb, false},
                                               {AV_PIX_FMT_BAYER_GRBG8, Mosaic::grbg, false},
                                               {AV_PIX_FMT_BAYER_GBRG8, Mosaic::gbrg, false},
                                               {AV_PIX_FMT_BAYER_BGGR8, Mosaic::bggr, false},
                                               {AV_PIX_FMT_BAYER_RGGB16LE, Mosaic::rggb, true},
                                               {AV_PIX_FMT_BAYER_GRBG16LE, Mosaic::grbg, true},
                                               {AV_PIX_FMT_BAYER_GBRG16LE, Mosaic::gbrg, true},
                                               {AV_PIX_FMT_BAYER_BGGR16LE, Mosaic::bggr, true},
                                               {AV_PIX_FMT_BAYER_RGGB16BE, Mosaic::rggb, true},
                                               {AV_PIX_FMT_BAYER_GRBG16BE, Mosaic::grbg, true},
                                               {AV_PIX_FMT_BAYER_GBRG16BE, Mosaic::gbrg, true},
                                               {AV_PIX_FMT_BAYER_BGGR16BE, Mosaic::bggr, true}}};

const std::uint8_t* row_of(const AVFrame& frame, int plane, int y) {
  return frame.data[plane] + static_cast<std::ptrdiff_t>(y) * frame.linesize[plane];
}

// The entry of a palette: FFmpeg keeps it as native 0xAARRGGBB.
std::array<std::uint8_t, 3> colour_of(const AVFrame& frame, std::uint8_t index) {
  std::uint32_t argb = 0;
  std::memcpy(&argb, frame.data[1] + std::size_t{4} * index, sizeof(argb));
  return {static_cast<std::uint8_t>(argb >> 16), static_cast<std::uint8_t>(argb >> 8), static_cast<std::uint8_t>(argb)};
}

// The palette that grey 8-bit video comes with: every index stands for itself.
bool is_grey_ramp(const AVFrame& frame) {
  for (unsigned i = 0; i < 256; ++i) {
    const auto colour = colour_of(frame, static_cast<std::uint8_t>(i));
    if (colour[0] != i || colour[1] != i || colour[2] != i) return false;
  }
  return true;
}

VideoPixels through_swscale(AVPixelFormat format, int depth) {
  VideoPixels pixels;
  pixels.format = format;
  pixels.sample = depth > 8 ? Sample::u16 : Sample::u8;
  pixels.bits = depth > 8 ? 16 : 8;
  pixels.note = fmt::format("{} samples were turned into RGB", av_get_pix_fmt_name(format));
  return pixels;
}

template <class T>
void copy_components(const AVFrame& frame, const AVPixFmtDescriptor& desc, int colours, std::span<std::byte> into) {
  const auto width = static_cast<std::size_t>(frame.width);
  const auto step = static_cast<std::size_t>(colours);
  std::vector<std::uint16_t> line(width);
  std::array<const std::uint8_t*, 4> data = {frame.data[0], frame.data[1], frame.data[2], frame.data[3]};
  std::array<int, 4> strides = {frame.linesize[0], frame.linesize[1], frame.linesize[2], frame.linesize[3]};
  T* to = reinterpret_cast<T*>(into.data());
  for (int y = 0; y < frame.height; ++y, to += width * step) {
    for (int c = 0; c < colours; ++c) {
      av_read_image_line2(line.data(), data.data(), strides.data(), &desc, 0, y, c, frame.width, 0, sizeof(line[0]));
      for (std::size_t x = 0; x < width; ++x) to[x * step + static_cast<std::size_t>(c)] = static_cast<T>(line[x]);
    }
  }
}

void copy_palette(const AVFrame& frame, std::span<std::byte> into) {
  auto* to = reinterpret_cast<std::uint8_t*>(into.data());
  for (int y = 0; y < frame.height; ++y) {
    const std::uint8_t* const from = row_of(frame, 0, y);
    for (int x = 0; x < frame.width; ++x, to += 3) {
      const auto colour = colour_of(frame, from[x]);
      std::copy(colour.begin(), colour.end(), to);
    }
  }
}

void copy_rows(const AVFrame& frame, std::size_t row_bytes, std::span<std::byte> into) {
  for (int y = 0; y < frame.height; ++y) {
    std::memcpy(into.data() + static_cast<std::size_t>(y) * row_bytes, row_of(frame, 0, y), row_bytes);
  }
}

}  // namespace

Result<VideoPixels> video_pixels(const AVFrame& frame, const std::filesystem::path& path) {
  const auto format = static_cast<AVPixelFormat>(frame.format);
  const AVPixFmtDescriptor* desc = av_pix_fmt_desc_get(format);
  const auto has = [&](std::uint64_t flag) { return (desc->flags & flag) != 0; };
  if (desc == nullptr || has(AV_PIX_FMT_FLAG_HWACCEL) || has(AV_PIX_FMT_FLAG_FLOAT)) {
    return bad_input("has samples halfarc does not read", path.string(), "record grey, RGB or raw video");
  }
  for (const RawFormat& raw : kBayer) {
    if (raw.format != format) continue;
    return VideoPixels{raw.sixteen ? Way::words : Way::bytes,
                       format,
                       raw.mosaic,
                       raw.sixteen ? Sample::u16 : Sample::u8,
                       raw.sixteen ? 16 : 8,
                       {}};
  }
  if (format == AV_PIX_FMT_PAL8) {
    if (is_grey_ramp(frame)) return VideoPixels{Way::bytes, format, Mosaic::mono, Sample::u8, 8, {}};
    return VideoPixels{Way::palette, format, Mosaic::rgb, Sample::u8, 8, "the video has a palette of 256 colours"};
  }
  if (format == AV_PIX_FMT_GRAY8) return VideoPixels{Way::bytes, format, Mosaic::mono, Sample::u8, 8, {}};
  const int depth = desc->comp[0].depth;
  const bool even = desc->nb_components < 3 || (desc->comp[1].depth == depth && desc->comp[2].depth == depth);
  const bool grey = desc->nb_components <= 2;
  if ((grey || has(AV_PIX_FMT_FLAG_RGB)) && even && depth >= 8 && depth <= 16 && !has(AV_PIX_FMT_FLAG_BITSTREAM)) {
    return VideoPixels{Way::components, format, grey ? Mosaic::mono : Mosaic::rgb, depth > 8 ? Sample::u16 : Sample::u8,
                       depth,           {}};
  }
  return through_swscale(format, depth);
}

Result<void> PixelCopier::copy(const AVFrame& frame, int width, int height, std::span<std::byte> into,
                               const std::filesystem::path& path) {
  if (frame.width != width || frame.height != height || frame.format != pixels_.format) {
    return bad_input("changes the size or kind of its frames on the way", path.string(), "record again");
  }
  const std::size_t row_bytes = into.size() / static_cast<std::size_t>(height);
  const AVPixFmtDescriptor* desc = av_pix_fmt_desc_get(pixels_.format);
  const int colours = samples_per_pixel(pixels_.mosaic);
  switch (pixels_.way) {
    case Way::bytes:
      copy_rows(frame, row_bytes, into);
      return {};
    case Way::words:
      copy_rows(frame, row_bytes, into);
      to_native<std::uint16_t>(into, (desc->flags & AV_PIX_FMT_FLAG_BE) != 0 ? ByteOrder::big : ByteOrder::little);
      return {};
    case Way::components:
      if (pixels_.sample == Sample::u8) copy_components<std::uint8_t>(frame, *desc, colours, into);
      if (pixels_.sample == Sample::u16) copy_components<std::uint16_t>(frame, *desc, colours, into);
      return {};
    case Way::palette:
      copy_palette(frame, into);
      return {};
    case Way::converted:
      break;
  }
  return convert(frame, into, path);
}

// swscale may write beyond the end of a row, so it writes into a frame of its own.
Result<void> PixelCopier::convert(const AVFrame& frame, std::span<std::byte> into, const std::filesystem::path& path) {
  const AVPixelFormat target = pixels_.sample == Sample::u16 ? AV_PIX_FMT_RGB48 : AV_PIX_FMT_RGB24;
  const auto no_memory = [&] { return failed("no memory to convert a frame", path.string(), "close other programs"); };
  if (!converted_) {
    AvPointer<AVFrame> made(av_frame_alloc());
    if (!made) return no_memory();
    made->format = target;
    made->width = frame.width;
    made->height = frame.height;
    if (av_frame_get_buffer(made.get(), 64) < 0) return no_memory();
    converted_ = std::move(made);
  }
  if (!scaler_) {
    constexpr int kExact = SWS_POINT | SWS_ACCURATE_RND | SWS_FULL_CHR_H_INT | SWS_BITEXACT;
    scaler_.reset(sws_getContext(frame.width, frame.height, pixels_.format, frame.width, frame.height, target, kExact,
                                 nullptr, nullptr, nullptr));
  }
  if (!scaler_) return bad_input("has samples halfarc does not read", path.string(), "record grey, RGB or raw video");
  if (sws_scale(scaler_.get(), frame.data, frame.linesize, 0, frame.height, converted_->data, converted_->linesize) <
      0) {
    return bad_input("has a frame that cannot be turned into RGB", path.string(), "record again");
  }
  copy_rows(*converted_, into.size() / static_cast<std::size_t>(frame.height), into);
  return {};
}

}  // namespace halfarc
