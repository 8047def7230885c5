#include "halfarc/frames/fits_frames.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>
#include <limits>

#include "halfarc/frames/byte_order.h"
#include "halfarc/frames/limits.h"
#include "halfarc/frames/survey.h"

namespace halfarc {
namespace {

using Coding = FitsLayout::Coding;

std::size_t stored_bytes(Coding coding) {
  if (coding == Coding::bytes || coding == Coding::scaled_bytes) return 1;
  return coding == Coding::scaled_floats ? 4 : 2;
}

Result<Coding> coding_of(const FitsHeader& header, const std::filesystem::path& path) {
  const bool plain = header.bscale == 1.0 && header.bzero == 0.0;
  if (header.bscale == 0.0) return bad_input("has BSCALE 0", path.string(), "write it again with BSCALE 1");
  switch (header.bitpix) {
    case 8:
      return plain ? Coding::bytes : Coding::scaled_bytes;
    case 16:
      if (plain) return Coding::signed_words;
      return header.bscale == 1.0 && header.bzero == 32768.0 ? Coding::offset_words : Coding::scaled_words;
    case -32:
      return Coding::scaled_floats;
    default:
      return bad_input(fmt::format("has BITPIX {}, which halfarc does not read", header.bitpix), path.string(),
                       "write it with BITPIX 8, 16 or -32");
  }
}

float finite_or_zero(double value) {
  const auto single = static_cast<float>(value);
  return std::isfinite(single) ? single : 0.0F;
}

void to_words(std::span<std::byte> bytes, Coding coding) {
  to_native<std::uint16_t>(bytes, ByteOrder::big);
  auto* const words = reinterpret_cast<std::uint16_t*>(bytes.data());
  const std::size_t count = bytes.size() / sizeof(std::uint16_t);
  if (coding == Coding::offset_words) {
    for (std::size_t i = 0; i < count; ++i) words[i] = static_cast<std::uint16_t>(words[i] ^ 0x8000U);
  } else {
    for (std::size_t i = 0; i < count; ++i) words[i] = words[i] & 0x8000U ? std::uint16_t{0} : words[i];
  }
}

void to_floats(std::span<const std::byte> stored, std::span<float> floats, const FitsLayout& layout) {
  const auto scale = [&](auto value) { return finite_or_zero(layout.bzero + layout.bscale * value); };
  for (std::size_t i = 0; i < floats.size(); ++i) {
    if (layout.coding == Coding::scaled_bytes) {
      floats[i] = scale(std::to_integer<int>(stored[i]));
    } else if (layout.coding == Coding::scaled_words) {
      floats[i] = scale(static_cast<std::int16_t>(integer_at<std::uint16_t>(stored, 2 * i, ByteOrder::big)));
    } else {
      floats[i] = scale(std::bit_cast<float>(integer_at<std::uint32_t>(stored, 4 * i, ByteOrder::big)));
    }
  }
}

// Rows reversed and colour planes interleaved, from `plain` into `into`.
template <class T>
void arrange(std::span<const std::byte> plain, std::span<std::byte> into, const FitsLayout& layout) {
  const auto width = static_cast<std::size_t>(layout.width);
  const auto height = static_cast<std::size_t>(layout.height);
  const auto planes = static_cast<std::size_t>(layout.planes);
  const T* const from = reinterpret_cast<const T*>(plain.data());
  T* const to = reinterpret_cast<T*>(into.data());
  for (std::size_t p = 0; p < planes; ++p) {
    for (std::size_t y = 0; y < height; ++y) {
      const T* const row = from + (p * height + (layout.flip_rows ? height - 1 - y : y)) * width;
      for (std::size_t x = 0; x < width; ++x) to[(y * width + x) * planes + p] = row[x];
    }
  }
}

// The samples of one or more frames in the order they are stored, as native samples.
Result<void> read_stored(const InputFile& file, std::uint64_t offset, const FitsLayout& layout, std::size_t count,
                         std::span<std::byte> into) {
  const std::size_t stored = count * layout.stored_bytes_per_frame();
  if (layout.sample() == Sample::f32) {
    std::vector<std::byte> raw(stored);
    HALFARC_CHECK(file.read(offset, raw));
    to_floats(raw, {reinterpret_cast<float*>(into.data()), into.size() / sizeof(float)}, layout);
    return {};
  }
  HALFARC_CHECK(file.read(offset, into));
  if (layout.sample() == Sample::u16) to_words(into, layout.coding);
  return {};
}

// 2^b - 2^z, the full scale a header states; nothing if it is no such number.
std::optional<SignificantBits> bits_of_saturation(double saturation) {
  if (!(saturation >= 1.0 && saturation <= 65535.0) || saturation != std::floor(saturation)) return std::nullopt;
  const auto value = static_cast<unsigned>(saturation);
  const int bits = static_cast<int>(std::bit_width(value));
  const int zero_bits = std::countr_zero(value);
  if (value != (1U << bits) - (1U << zero_bits)) return std::nullopt;
  return SignificantBits{bits, zero_bits, {}};
}

// The scale of float samples that reach up to `most`: 1.0 or the full scale of a common converter.
int bits_of_scale(double most) {
  for (const int bits : {1, 8, 10, 12, 14, 16}) {
    if (most <= static_cast<double>((1U << bits) - 1) * (1.0 + 1e-6)) return bits;
  }
  return most < 0x1p62 ? std::ilogb(most) + 1 : 62;
}

}  // namespace

Sample FitsLayout::sample() const {
  if (coding == Coding::bytes) return Sample::u8;
  return coding == Coding::offset_words || coding == Coding::signed_words ? Sample::u16 : Sample::f32;
}

std::size_t FitsLayout::samples_per_frame() const {
  return static_cast<std::size_t>(width) * static_cast<std::size_t>(height) * static_cast<std::size_t>(planes);
}

std::size_t FitsLayout::stored_bytes_per_frame() const { return samples_per_frame() * stored_bytes(coding); }

Result<FitsArray> fits_array(FitsHeader& header, const std::filesystem::path& path) {
  while (header.axes.size() > 2 && header.axes.back() == 1) header.axes.pop_back();
  const auto& axes = header.axes;
  const std::int64_t third = axes.size() > 2 ? axes[2] : 1;
  const bool said_colour = header.third_axis == "RGB" || header.third_axis == "COLOR";
  const bool said_frames = is_bayer(header.mosaic) || header.third_axis == "FRAME" || header.frame_times.size() == 3;
  const bool four = axes.size() == 4 && (third == 1 || third == 3);
  if (axes.size() > 4 || (axes.size() == 4 && !four)) {
    return bad_input(fmt::format("holds an array of {} axes that is no row of frames", axes.size()), path.string(),
                     "write frames along the third axis");
  }
  const bool colour = third == 3 && (four || said_colour || !said_frames);
  FitsArray array;
  array.layout.planes = colour ? 3 : 1;
  array.mosaic = colour ? Mosaic::rgb : header.mosaic;
  if (colour && !four && !said_colour) {
    header.notes.push_back("NAXIS3 is 3: taken as the colour planes red, green, blue of one frame");
  }
  HALFARC_TRY(array.layout.coding, coding_of(header, path));
  // Checked as floats, the largest thing a frame may become.
  HALFARC_CHECK(check_frame_size(axes[0], axes[1], array.mosaic, Sample::f32, path));
  array.layout.width = static_cast<int>(axes[0]);
  array.layout.height = static_cast<int>(axes[1]);
  array.layout.bscale = header.bscale;
  array.layout.bzero = header.bzero;
  array.layout.flip_rows = header.row_order == RowOrder::bottom_up;
  if (array.layout.flip_rows) array.mosaic = flipped_rows(array.mosaic, axes[1]);
  const std::int64_t frames = four ? axes[3] : colour ? 1 : third;
  HALFARC_CHECK(check_frame_count(frames > 0 ? static_cast<std::uint64_t>(frames) : 0, path));
  array.frames = static_cast<std::uint64_t>(frames);
  if (header.row_order == RowOrder::unsaid) {
    header.notes.push_back("the header has no ROWORDER: the first row stored is taken as the top");
  }
  return array;
}

Result<void> read_fits_frames(const InputFile& file, std::uint64_t offset, const FitsLayout& layout, std::size_t count,
                              std::span<std::byte> into) {
  if (!layout.flip_rows && layout.planes == 1) return read_stored(file, offset, layout, count, into);
  const std::size_t frame_bytes = layout.samples_per_frame() * bytes_per_sample(layout.sample());
  std::vector<float> scratch((frame_bytes + sizeof(float) - 1) / sizeof(float));
  const auto plain = std::as_writable_bytes(std::span(scratch)).first(frame_bytes);
  for (std::size_t i = 0; i < count; ++i) {
    HALFARC_CHECK(read_stored(file, offset + i * layout.stored_bytes_per_frame(), layout, 1, plain));
    const auto frame = into.subspan(i * frame_bytes, frame_bytes);
    if (layout.sample() == Sample::u8) arrange<std::uint8_t>(plain, frame, layout);
    if (layout.sample() == Sample::u16) arrange<std::uint16_t>(plain, frame, layout);
    if (layout.sample() == Sample::f32) arrange<float>(plain, frame, layout);
  }
  return {};
}

Result<void> settle_bits(RecordingInfo& info, const FitsHeader& header,
                         const std::function<Result<void>(std::size_t, std::span<std::byte>)>& read_frame) {
  if (info.sample == Sample::u8) {
    info.bits = 8;
    return {};
  }
  if (header.saturation) {
    if (const auto bits = bits_of_saturation(*header.saturation)) {
      info.bits = bits->bits;
      info.zero_bits = info.sample == Sample::u16 ? bits->zero_bits : 0;
      return {};
    }
  }
  SampleRange range;
  double most = 0.0;
  std::vector<float> scratch((info.bytes_per_frame() + sizeof(float) - 1) / sizeof(float));
  const auto frame = std::as_writable_bytes(std::span(scratch)).first(info.bytes_per_frame());
  for (const std::size_t number : frames_to_survey(info.frames)) {
    HALFARC_CHECK(read_frame(number, frame));
    if (info.sample == Sample::u16) {
      range.add({reinterpret_cast<const std::uint16_t*>(frame.data()), frame.size() / sizeof(std::uint16_t)});
    } else {
      for (const float value : scratch) most = std::max(most, static_cast<double>(value));
    }
  }
  if (info.sample == Sample::u16) {
    const SignificantBits significant = significant_bits(16, range);
    info.bits = significant.bits;
    info.zero_bits = significant.zero_bits;
    if (!significant.note.empty()) info.notes.push_back(significant.note);
  } else {
    info.bits = bits_of_scale(most);
  }
  return {};
}

}  // namespace halfarc
