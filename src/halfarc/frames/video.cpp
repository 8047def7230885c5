#include "halfarc/frames/video.h"

#include <fmt/format.h>

#include <cstring>
#include <mutex>
#include <string_view>

#include "halfarc/frames/frame_times.h"
#include "halfarc/frames/limits.h"
#include "halfarc/frames/survey.h"
#include "halfarc/frames/video_decoder.h"
#include "halfarc/frames/video_pixels.h"

namespace halfarc {
namespace {

constexpr std::size_t kMostLostTail = 64;

class Video final : public Recording {
 public:
  Video(RecordingInfo info, VideoDecoder decoder, PixelCopier copier)
      : Recording(std::move(info)), decoder_(std::move(decoder)), copier_(std::move(copier)) {}

  Result<void> read(std::size_t first, std::size_t count, std::span<std::byte> into) const override {
    HALFARC_CHECK(check_range(first, count, into));
    const std::size_t frame_bytes = info().bytes_per_frame();
    const std::lock_guard lock(mutex_);
    for (std::size_t i = 0; i < count; ++i) {
      HALFARC_TRY(const AVFrame* frame, decoder_.frame(first + i));
      HALFARC_CHECK(
          copier_.copy(*frame, info().width, info().height, into.subspan(i * frame_bytes, frame_bytes), info().path));
    }
    return {};
  }

 private:
  mutable std::mutex mutex_;
  mutable VideoDecoder decoder_;
  mutable PixelCopier copier_;
};

// A file that was cut off may have packets at its end that yield no frame.
Result<void> drop_lost_tail(VideoDecoder& decoder, RecordingInfo& info) {
  std::size_t lost = 0;
  while (decoder.frames() > 1 && !decoder.frame(decoder.frames() - 1)) {
    if (++lost > kMostLostTail) {
      return bad_input("cannot be decoded to its end", info.path.string(), "record or copy it again");
    }
    decoder.keep_first(decoder.frames() - 1);
  }
  if (lost > 0) info.notes.push_back(fmt::format("the last {} frames cannot be decoded and are left out", lost));
  info.frames = decoder.frames();
  return {};
}

void fill_times(const VideoDecoder& decoder, RecordingInfo& info) {
  const AVDictionaryEntry* entry = av_dict_get(decoder.container().metadata, "creation_time", nullptr, 0);
  const std::vector<double> seconds = decoder.frame_seconds();
  if (entry != nullptr) {
    if (const auto created = Utc::parse(entry->value); created && is_plausible(*created)) info.start = *created;
  }
  if (!info.start || seconds.size() != info.frames) {
    info.notes.push_back("the recording carries no frame times");
    return;
  }
  for (const double s : seconds) info.times.push_back(*info.start + Duration::s(s));
  info.notes.push_back(
      "frame times are counted from the creation time of the file and may be off by seconds as a whole");
  examine_times(info);
}

Result<void> settle_bits(VideoDecoder& decoder, PixelCopier& copier, RecordingInfo& info) {
  if (info.sample != Sample::u16) return {};
  std::vector<std::uint16_t> frame(info.samples_per_frame());
  SampleRange range;
  for (const std::size_t number : frames_to_survey(info.frames)) {
    HALFARC_TRY(const AVFrame* decoded, decoder.frame(number));
    HALFARC_CHECK(copier.copy(*decoded, info.width, info.height, std::as_writable_bytes(std::span(frame)), info.path));
    range.add(frame);
  }
  const SignificantBits significant = significant_bits(info.bits, range);
  info.bits = significant.bits;
  info.zero_bits = significant.zero_bits;
  if (!significant.note.empty()) info.notes.push_back(significant.note);
  return {};
}

void note_coding(const VideoDecoder& decoder, RecordingInfo& info) {
  if (decoder.is_lossy()) {
    info.notes.push_back(fmt::format(
        "the video is compressed with loss ({}): noise and fine detail are altered, which harms every measurement",
        decoder.codec_name()));
  }
  if (decoder.empty_packets() > 0) {
    info.notes.push_back(fmt::format("{} frames were dropped while recording", decoder.empty_packets()));
  }
}

}  // namespace

bool looks_like_video(std::span<const std::byte> head) {
  const auto at = [&](std::size_t offset, std::string_view text) {
    return head.size() >= offset + text.size() && std::memcmp(head.data() + offset, text.data(), text.size()) == 0;
  };
  const bool avi = at(0, "RIFF") && at(8, "AVI");
  const bool mkv = at(0, "\x1A\x45\xDF\xA3");
  const bool mov = at(4, "ftyp") || at(4, "moov") || at(4, "mdat") || at(4, "wide") || at(4, "skip") || at(4, "pnot");
  return avi || mkv || mov;
}

Result<std::unique_ptr<Recording>> open_video(const InputFile& file) {
  HALFARC_TRY(VideoDecoder decoder, VideoDecoder::open(file));
  HALFARC_TRY(const AVFrame* first, decoder.frame(0));
  HALFARC_TRY(VideoPixels pixels, video_pixels(*first, file.path()));
  HALFARC_CHECK(check_frame_size(first->width, first->height, pixels.mosaic, pixels.sample, file.path()));
  RecordingInfo info;
  info.path = file.path();
  info.container = fmt::format("video ({})", decoder.codec_name());
  info.width = first->width;
  info.height = first->height;
  info.mosaic = pixels.mosaic;
  info.sample = pixels.sample;
  info.bits = pixels.bits;
  if (!pixels.note.empty()) info.notes.push_back(pixels.note);
  HALFARC_CHECK(drop_lost_tail(decoder, info));
  note_coding(decoder, info);
  PixelCopier copier(std::move(pixels));
  HALFARC_CHECK(settle_bits(decoder, copier, info));
  fill_times(decoder, info);
  return std::unique_ptr<Recording>(std::make_unique<Video>(std::move(info), std::move(decoder), std::move(copier)));
}

}  // namespace halfarc
