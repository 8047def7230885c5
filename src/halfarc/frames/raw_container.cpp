#include "halfarc/frames/raw_container.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <utility>

#include "halfarc/frames/byte_order.h"
#include "halfarc/frames/frame_times.h"
#include "halfarc/frames/limits.h"
#include "halfarc/frames/survey.h"

namespace halfarc {
namespace {

constexpr std::size_t kHeaderBytes = 178;
constexpr std::uint64_t kTimeBytes = 8;
constexpr int kBgr = 101;

struct Header {
  int colour = 0;
  std::int32_t width = 0;
  std::int32_t height = 0;
  int bits = 0;
  std::int32_t frames = 0;
  std::int64_t local = 0;
  std::int64_t utc = 0;
};

Header parse_header(std::span<const std::byte> bytes) {
  const auto int32 = [&](std::size_t at) {
    return static_cast<std::int32_t>(integer_at<std::uint32_t>(bytes, at, ByteOrder::little));
  };
  const auto int64 = [&](std::size_t at) {
    return static_cast<std::int64_t>(integer_at<std::uint64_t>(bytes, at, ByteOrder::little));
  };
  return {int32(18), int32(26), int32(30), int32(34), int32(38), int64(162), int64(170)};
}

std::optional<Mosaic> mosaic_of(int colour) {
  switch (colour) {
    case 0:
      return Mosaic::mono;
    case 8:
      return Mosaic::rggb;
    case 9:
      return Mosaic::grbg;
    case 10:
      return Mosaic::gbrg;
    case 11:
      return Mosaic::bggr;
    case 100:
    case kBgr:
      return Mosaic::rgb;
    default:
      return std::nullopt;
  }
}

// Layout and sizes from the header alone.
Result<RecordingInfo> layout_of(const Header& header, const std::filesystem::path& path) {
  const auto mosaic = mosaic_of(header.colour);
  if (!mosaic && header.colour >= 16 && header.colour <= 19) {
    return bad_input("was made with a cyan-yellow-magenta sensor, which halfarc does not read", path.string(),
                     "record with a mono or red-green-blue sensor");
  }
  if (!mosaic) {
    return bad_input(fmt::format("has the unknown colour code {}", header.colour), path.string(),
                     "it is damaged or not a raw-frames recording: record again");
  }
  if (header.bits < 1 || header.bits > 16) {
    return bad_input(fmt::format("says its samples have {} bits", header.bits), path.string(),
                     "record with 8 to 16 bits a colour");
  }
  RecordingInfo info;
  info.path = path;
  info.container = "raw frames (.ser)";
  info.mosaic = *mosaic;
  info.sample = header.bits <= 8 ? Sample::u8 : Sample::u16;
  info.bits = info.sample == Sample::u8 ? 8 : header.bits;
  HALFARC_CHECK(check_frame_size(header.width, header.height, info.mosaic, info.sample, path));
  info.width = header.width;
  info.height = header.height;
  return info;
}

Result<std::vector<std::int64_t>> read_ticks(const InputFile& file, std::uint64_t offset, std::uint64_t count) {
  std::vector<std::int64_t> ticks(static_cast<std::size_t>(count));
  const auto bytes = std::as_writable_bytes(std::span(ticks));
  HALFARC_CHECK(file.read(offset, bytes));
  to_native<std::uint64_t>(bytes, ByteOrder::little);
  return ticks;
}

bool is_time(std::int64_t ticks) {
  const auto utc = utc_from_ticks(ticks);
  return utc && is_plausible(*utc);
}

// Whether a time trailer of `frames` times seems to lie behind as many frames: its first and last entries are dates.
bool trailer_seems_at(const InputFile& file, std::uint64_t frame_bytes, std::uint64_t frames) {
  const std::uint64_t offset = kHeaderBytes + frames * frame_bytes;
  if (frames == 0 || offset + frames * kTimeBytes > file.size()) return false;
  const auto first = read_ticks(file, offset, 1);
  const auto last = read_ticks(file, offset + (frames - 1) * kTimeBytes, 1);
  return first && last && is_time(first->front()) && is_time(last->front());
}

struct Extent {
  std::uint64_t frames = 0;
  bool times = false;
  std::string note;
};

// How many frames the file really holds, and whether times follow them. `said` is the header's count.
Extent extent_of(const InputFile& file, std::uint64_t frame_bytes, std::int64_t said) {
  const std::uint64_t payload = file.size() - kHeaderBytes;
  const std::uint64_t whole = payload / frame_bytes;
  const std::uint64_t count = said > 0 ? static_cast<std::uint64_t>(said) : 0;
  const bool count_fits = count > 0 && count <= whole;
  const std::uint64_t rest = count_fits ? payload - count * frame_bytes : 0;
  if (count_fits && rest == 0) return {count, false, {}};
  if (count_fits && rest == count * kTimeBytes) return {count, true, {}};

  // The count is wrong or the tail is cut. A length that frames with their times explain exactly settles it.
  const std::uint64_t timed = payload / (frame_bytes + kTimeBytes);
  if (payload % (frame_bytes + kTimeBytes) == 0 && trailer_seems_at(file, frame_bytes, timed)) {
    return {timed, true, fmt::format("the header says {} frames but the file holds {}; all are used", said, timed)};
  }
  if (count_fits && trailer_seems_at(file, frame_bytes, count)) {
    return {count, true, fmt::format("{} bytes of unknown content follow the frame times", rest - count * kTimeBytes)};
  }
  const auto first_time = count_fits && rest >= kTimeBytes
                              ? read_ticks(file, kHeaderBytes + count * frame_bytes, 1)
                              : Result<std::vector<std::int64_t>>(std::vector<std::int64_t>{0});
  if (count_fits && rest < count * kTimeBytes && first_time && is_time(first_time->front())) {
    return {count, false, "the list of frame times is cut off; frame times are not used"};
  }
  if (count_fits && rest < frame_bytes) {
    return {count, false, fmt::format("{} bytes of unknown content follow the frames", rest)};
  }
  if (count == 0) {
    return {whole, false,
            fmt::format("the header gives no frame count (recording interrupted?); the file holds {}", whole)};
  }
  const std::string_view cut = count > whole && payload % frame_bytes != 0 ? " and a part of one" : "";
  return {whole, false,
          fmt::format("the header says {} frames but the file holds {}{}; whole ones are used", said, whole, cut)};
}

// Some programs write local time behind the frames although UTC is meant; the header, which has both, tells.
void local_to_utc(const Header& header, RecordingInfo& info) {
  const auto local = utc_from_ticks(header.local);
  const auto utc = utc_from_ticks(header.utc);
  if (info.times.empty() || !local || !utc || !is_plausible(*local) || !is_plausible(*utc)) return;
  const Duration zone = *local - *utc;
  const Duration from_utc = info.times.front() - *utc;
  const Duration from_local = info.times.front() - *local;
  const double quarters = zone / Duration::minutes(15.0);
  const bool is_a_zone = std::abs(quarters - std::round(quarters)) < 0.01 && std::abs(quarters) > 0.5;
  if (!is_a_zone || abs(from_local) > Duration::minutes(2.0) || abs(from_utc) < Duration::minutes(10.0)) return;
  for (Utc& time : info.times) time = time - zone;
  info.notes.push_back(fmt::format("frame times were local time, {:+.2f} h from UTC; turned into UTC", zone.hours()));
}

Result<void> fill_times(const InputFile& file, const Header& header, bool trailer, RecordingInfo& info) {
  if (trailer) {
    HALFARC_TRY(const auto ticks, read_ticks(file, kHeaderBytes + info.frames * info.bytes_per_frame(), info.frames));
    info.times.reserve(ticks.size());
    for (const std::int64_t tick : ticks) info.times.push_back(utc_from_ticks(tick).value_or(Utc{}));
    examine_times(info);
    local_to_utc(header, info);
  } else {
    info.notes.push_back("the recording carries no frame times");
  }
  const auto utc = utc_from_ticks(header.utc);
  if (!info.times.empty()) {
    info.start = info.times.front();
  } else if (utc && is_plausible(*utc)) {
    info.start = *utc;
  } else {
    info.notes.push_back("the header carries no date");
  }
  return {};
}

// Byte order and significant bits; both are said in the notes.
Result<ByteOrder> survey_sixteen_bits(const InputFile& file, RecordingInfo& info) {
  const auto as_in_file = [&](std::size_t frame, std::size_t skip, std::span<std::byte> into) {
    return file.read(kHeaderBytes + std::uint64_t{frame} * info.bytes_per_frame() + skip, into);
  };
  HALFARC_TRY(const ByteOrderVote::Verdict verdict, survey_byte_order(info, as_in_file));
  const auto native = [&](std::size_t frame, std::size_t skip, std::span<std::byte> into) -> Result<void> {
    HALFARC_CHECK(as_in_file(frame, skip, into));
    to_native<std::uint16_t>(into, verdict.order);
    return {};
  };
  HALFARC_TRY(const SampleRange range, survey_range(info, native));
  const SignificantBits significant = significant_bits(info.bits, range);
  info.bits = significant.bits;
  info.zero_bits = significant.zero_bits;
  const std::string_view order = verdict.order == ByteOrder::little ? "little" : "big";
  info.notes.push_back(fmt::format("16-bit samples taken as {}-endian: {}", order, verdict.why));
  if (!significant.note.empty()) info.notes.push_back(significant.note);
  return verdict.order;
}

class RawContainer final : public Recording {
 public:
  RawContainer(RecordingInfo info, InputFile file, ByteOrder order, bool is_bgr)
      : Recording(std::move(info)), file_(std::move(file)), order_(order), is_bgr_(is_bgr) {}

  Result<void> read(std::size_t first, std::size_t count, std::span<std::byte> into) const override {
    HALFARC_CHECK(check_range(first, count, into));
    HALFARC_CHECK(file_.read(kHeaderBytes + std::uint64_t{first} * info().bytes_per_frame(), into));
    if (info().sample == Sample::u16) to_native<std::uint16_t>(into, order_);
    if (is_bgr_ && info().sample == Sample::u8) swap_red_blue<std::uint8_t>(into);
    if (is_bgr_ && info().sample == Sample::u16) swap_red_blue<std::uint16_t>(into);
    return {};
  }

 private:
  template <class T>
  static void swap_red_blue(std::span<std::byte> bytes) {
    T* const samples = reinterpret_cast<T*>(bytes.data());
    for (std::size_t i = 0; i + 2 < bytes.size() / sizeof(T); i += 3) std::swap(samples[i], samples[i + 2]);
  }

  InputFile file_;
  ByteOrder order_;
  bool is_bgr_;
};

}  // namespace

bool looks_like_raw_container(const InputFile& file) {
  const auto bytes = file.head(kHeaderBytes);
  if (!bytes || bytes->size() < kHeaderBytes) return false;
  const Header header = parse_header(*bytes);
  const auto info = layout_of(header, file.path());
  if (!info || header.frames <= 0) return false;
  const std::uint64_t frames = static_cast<std::uint64_t>(header.frames);
  const std::uint64_t payload = file.size() - kHeaderBytes;
  const std::uint64_t pixels = frames * info->bytes_per_frame();
  return payload == pixels || payload == pixels + frames * kTimeBytes;
}

Result<std::unique_ptr<Recording>> open_raw_container(InputFile file) {
  const std::filesystem::path path = file.path();
  HALFARC_TRY(const auto bytes, file.head(kHeaderBytes));
  if (bytes.size() < kHeaderBytes) {
    return bad_input(fmt::format("has only {} bytes, less than the header of a raw-frames recording", bytes.size()),
                     path.string(), "record again");
  }
  const Header header = parse_header(bytes);
  HALFARC_TRY(RecordingInfo info, layout_of(header, path));
  const Extent extent = extent_of(file, info.bytes_per_frame(), header.frames);
  HALFARC_CHECK(check_frame_count(extent.frames, path));
  info.frames = static_cast<std::size_t>(extent.frames);
  if (!extent.note.empty()) info.notes.push_back(extent.note);

  ByteOrder order = ByteOrder::little;
  if (info.sample == Sample::u16) {
    HALFARC_TRY(order, survey_sixteen_bits(file, info));
  }
  HALFARC_CHECK(fill_times(file, header, extent.times, info));
  return std::unique_ptr<Recording>(
      std::make_unique<RawContainer>(std::move(info), std::move(file), order, header.colour == kBgr));
}

}  // namespace halfarc
