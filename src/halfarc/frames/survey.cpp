#include "halfarc/frames/survey.h"

#include <algorithm>

namespace halfarc {
namespace {

constexpr std::size_t kMostBytesOfAFrame = std::size_t{8} << 20;
constexpr std::size_t kFrames = 5;

std::size_t neighbour_stride(Mosaic mosaic) {
  if (mosaic == Mosaic::rgb) return 3;
  return is_bayer(mosaic) ? 2 : 1;
}

}  // namespace

std::vector<std::size_t> frames_to_survey(std::size_t frames) {
  std::vector<std::size_t> numbers;
  if (frames == 0) return numbers;
  for (std::size_t i = 0; i < kFrames; ++i) numbers.push_back((frames - 1) * i / (kFrames - 1));
  numbers.erase(std::unique(numbers.begin(), numbers.end()), numbers.end());
  return numbers;
}

Result<void> survey(const RecordingInfo& info, const ReadPart& read,
                    const std::function<void(std::span<const std::byte>)>& look) {
  const std::size_t frame_bytes = info.bytes_per_frame();
  const std::size_t part = std::min(frame_bytes, kMostBytesOfAFrame);
  const std::size_t sample_bytes = bytes_per_sample(info.sample);
  const std::size_t skip = (frame_bytes - part) / 2 / sample_bytes * sample_bytes;
  std::vector<float> aligned((part + sizeof(float) - 1) / sizeof(float));
  const auto bytes = std::as_writable_bytes(std::span(aligned)).first(part);
  for (const std::size_t number : frames_to_survey(info.frames)) {
    HALFARC_CHECK(read(number, skip, bytes));
    look(bytes);
  }
  return {};
}

Result<SampleRange> survey_range(const RecordingInfo& info, const ReadPart& read) {
  SampleRange range;
  HALFARC_CHECK(survey(info, read, [&](std::span<const std::byte> bytes) {
    range.add({reinterpret_cast<const std::uint16_t*>(bytes.data()), bytes.size() / sizeof(std::uint16_t)});
  }));
  return range;
}

Result<ByteOrderVote::Verdict> survey_byte_order(const RecordingInfo& info, const ReadPart& read) {
  ByteOrderVote vote;
  HALFARC_CHECK(
      survey(info, read, [&](std::span<const std::byte> bytes) { vote.add(bytes, neighbour_stride(info.mosaic)); }));
  return vote.verdict(info.bits);
}

}  // namespace halfarc
