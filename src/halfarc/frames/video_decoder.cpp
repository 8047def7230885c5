#include "halfarc/frames/video_decoder.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <mutex>
#include <string_view>
#include <utility>

#include "halfarc/frames/limits.h"

namespace halfarc {
namespace {

constexpr std::size_t kReadAhead = 32;  // decoding on so far costs less than a jump
constexpr std::int64_t kMostPixels = static_cast<std::int64_t>(kMostFrameBytes) / 4;

void silence() {
  static std::once_flag once;
  std::call_once(once, [] { av_log_set_level(AV_LOG_QUIET); });
}

std::string reason(int code) {
  std::array<char, AV_ERROR_MAX_STRING_SIZE> text{};
  av_strerror(code, text.data(), text.size());
  return text.data();
}

// Raw samples under the codes that camera drivers use (Linux videodev2.h), which FFmpeg does not map by itself.
struct RawCode {
  unsigned code;
  AVPixelFormat format;
};
constexpr std::array<RawCode, 5> kRawCodes = {{{MKTAG('B', 'A', '8', '1'), AV_PIX_FMT_BAYER_BGGR8},
                                               {MKTAG('G', 'B', 'R', 'G'), AV_PIX_FMT_BAYER_GBRG8},
                                               {MKTAG('G', 'R', 'B', 'G'), AV_PIX_FMT_BAYER_GRBG8},
                                               {MKTAG('R', 'G', 'G', 'B'), AV_PIX_FMT_BAYER_RGGB8},
                                               {MKTAG('Y', '1', '6', ' '), AV_PIX_FMT_GRAY16LE}}};

void name_raw_codes(AVCodecParameters& parameters) {
  for (const RawCode& raw : kRawCodes) {
    if (parameters.codec_id != AV_CODEC_ID_NONE || parameters.codec_tag != raw.code) continue;
    parameters.codec_id = AV_CODEC_ID_RAWVIDEO;
    parameters.codec_tag = avcodec_pix_fmt_to_codec_tag(raw.format);
    parameters.format = raw.format;
  }
}

std::int64_t stamp_of(const AVPacket& packet) { return packet.pts != AV_NOPTS_VALUE ? packet.pts : packet.dts; }

}  // namespace

Result<VideoDecoder> VideoDecoder::open(const InputFile& file) {
  silence();
  VideoDecoder decoder(file.path());
  HALFARC_CHECK(decoder.open_input());
  HALFARC_CHECK(decoder.open_codec());
  HALFARC_CHECK(decoder.count_frames(file));
  return decoder;
}

Result<void> VideoDecoder::open_input() {
  AVFormatContext* format = avformat_alloc_context();
  if (format == nullptr) return failed("no memory to open a video", path_.string(), "close other programs");
  format->format_whitelist = av_strdup("avi,mov,matroska");
  format->protocol_whitelist = av_strdup("file");
  const std::string url = "file:" + path_.string();
  // On failure avformat_open_input frees the context itself.
  if (const int code = avformat_open_input(&format, url.c_str(), nullptr, nullptr); code < 0) {
    return bad_input(fmt::format("cannot be read as a video ({})", reason(code)), path_.string(),
                     "it is damaged or not a video: record or copy it again");
  }
  format_.reset(format);
  if (const int code = avformat_find_stream_info(format, nullptr); code < 0) {
    return bad_input(fmt::format("is a video whose content is not understood ({})", reason(code)), path_.string(),
                     "record or copy it again");
  }
  const int stream = av_find_best_stream(format, AVMEDIA_TYPE_VIDEO, -1, -1, nullptr, 0);
  if (stream < 0) return bad_input("holds no video", path_.string(), "name a recording");
  stream_ = static_cast<unsigned>(stream);
  name_raw_codes(*format->streams[stream_]->codecpar);
  for (unsigned i = 0; i < format->nb_streams; ++i) {
    if (i != stream_) format->streams[i]->discard = AVDISCARD_ALL;
  }
  return {};
}

Result<void> VideoDecoder::open_codec() {
  const AVCodecParameters* parameters = stream().codecpar;
  const AVCodec* codec = avcodec_find_decoder(parameters->codec_id);
  if (codec == nullptr) {
    return bad_input("is coded in a way FFmpeg does not know", path_.string(), "record uncompressed video");
  }
  codec_.reset(avcodec_alloc_context3(codec));
  frame_.reset(av_frame_alloc());
  packet_.reset(av_packet_alloc());
  if (!codec_ || !frame_ || !packet_)
    return failed("no memory to open a video", path_.string(), "close other programs");
  codec_->max_pixels = kMostPixels;
  codec_->thread_type = FF_THREAD_SLICE;
  codec_->thread_count = 0;
  int code = avcodec_parameters_to_context(codec_.get(), parameters);
  if (code >= 0) code = avcodec_open2(codec_.get(), codec, nullptr);
  if (code >= 0) return {};
  return bad_input(fmt::format("is a {} video that cannot be decoded ({})", codec_name(), reason(code)), path_.string(),
                   "record uncompressed video");
}

bool VideoDecoder::is_lossy() const {
  const AVCodecDescriptor* descriptor = avcodec_descriptor_get(stream().codecpar->codec_id);
  return descriptor != nullptr && (descriptor->props & AV_CODEC_PROP_LOSSY) != 0;
}

Result<void> VideoDecoder::count_frames(const InputFile& file) {
  if (!count_by_index(file.size())) count_by_packets();
  HALFARC_CHECK(check_frame_count(stamps_.size(), path_));
  has_stamps_ = std::find(stamps_.begin(), stamps_.end(), AV_NOPTS_VALUE) == stamps_.end();
  std::sort(stamps_.begin(), stamps_.end());
  has_stamps_ = has_stamps_ && std::adjacent_find(stamps_.begin(), stamps_.end()) == stamps_.end();
  has_stamps_ = has_stamps_ && rewind() && stamps_hold();
  if (!rewind()) return bad_input("cannot be read from its beginning", path_.string(), "record or copy it again");
  return {};
}

// An uncompressed AVI of many gigabytes says in its index where every frame lies, which saves reading it through. Only
// frames that lie inside the file count.
bool VideoDecoder::count_by_index(std::uint64_t file_bytes) {
  AVStream* const stream = format_->streams[stream_];
  const AVCodecDescriptor* descriptor = avcodec_descriptor_get(stream->codecpar->codec_id);
  const bool intra = descriptor != nullptr && (descriptor->props & AV_CODEC_PROP_INTRA_ONLY) != 0;
  const int entries = avformat_index_get_entries_count(stream);
  if (!intra || entries <= 0 || std::string_view(format_->iformat->name) != "avi") return false;
  if (stream->nb_frames > entries) return false;
  for (int i = 0; i < entries; ++i) {
    const AVIndexEntry* entry = avformat_index_get_entry(stream, i);
    if (entry == nullptr || entry->pos < 0) return false;
    const bool inside = static_cast<std::uint64_t>(entry->pos) + static_cast<std::uint64_t>(entry->size) <= file_bytes;
    if (entry->size == 0) ++empty_packets_;
    if (inside && entry->size > 0) stamps_.push_back(entry->timestamp);
  }
  return true;
}

void VideoDecoder::count_by_packets() {
  stamps_.clear();
  empty_packets_ = 0;
  while (stamps_.size() <= kMostFrames && av_read_frame(format_.get(), packet_.get()) >= 0) {
    if (packet_->stream_index == static_cast<int>(stream_)) {
      if (packet_->size > 0) stamps_.push_back(stamp_of(*packet_));
      if (packet_->size == 0) ++empty_packets_;
    }
    av_packet_unref(packet_.get());
  }
}

std::vector<double> VideoDecoder::frame_seconds() const {
  std::vector<double> seconds;
  if (!has_stamps_) return seconds;
  const double unit = av_q2d(stream().time_base);
  seconds.reserve(stamps_.size());
  for (const std::int64_t stamp : stamps_) seconds.push_back(static_cast<double>(stamp - stamps_.front()) * unit);
  return seconds;
}

bool VideoDecoder::rewind() {
  current_.reset();
  next_ = 0;
  draining_ = false;
  avcodec_flush_buffers(codec_.get());
  const std::int64_t first = has_stamps_ ? std::min<std::int64_t>(stamps_.front(), 0) : 0;
  const auto stream = static_cast<int>(stream_);
  if (av_seek_frame(format_.get(), stream, first, AVSEEK_FLAG_BACKWARD) >= 0) return true;
  if (avformat_seek_file(format_.get(), stream, INT64_MIN, first, INT64_MAX, 0) >= 0) return true;
  return av_seek_frame(format_.get(), -1, 0, AVSEEK_FLAG_BYTE) >= 0;
}

// To the key frame at or before the wanted one.
bool VideoDecoder::jump_to(std::size_t number) {
  if (!has_stamps_) return number >= next_ || rewind();
  current_.reset();
  draining_ = false;
  avcodec_flush_buffers(codec_.get());
  next_ = 0;
  return av_seek_frame(format_.get(), static_cast<int>(stream_), stamps_[number], AVSEEK_FLAG_BACKWARD) >= 0 ||
         rewind();
}

bool VideoDecoder::receive_frame() {
  for (;;) {
    const int received = avcodec_receive_frame(codec_.get(), frame_.get());
    if (received == 0) return true;
    if (received != AVERROR(EAGAIN) || draining_) return false;
    int read = 0;
    do {
      av_packet_unref(packet_.get());
      read = av_read_frame(format_.get(), packet_.get());
    } while (read >= 0 && (packet_->stream_index != static_cast<int>(stream_) || packet_->size == 0));
    draining_ = read < 0;
    // A packet the decoder rejects yields no frame; the next ones may.
    avcodec_send_packet(codec_.get(), draining_ ? nullptr : packet_.get());
    av_packet_unref(packet_.get());
  }
}

// Decodes one more frame and settles its number: by its time, or by counting where times cannot be had.
bool VideoDecoder::decode_next() {
  while (receive_frame()) {
    std::size_t number = next_;
    if (has_stamps_) {
      const auto at = std::lower_bound(stamps_.begin(), stamps_.end(), frame_->best_effort_timestamp);
      if (at == stamps_.end() || *at != frame_->best_effort_timestamp) continue;  // not a frame that was counted
      number = static_cast<std::size_t>(at - stamps_.begin());
    }
    current_ = number;
    next_ = number + 1;
    return true;
  }
  return false;
}

// Some containers give packets times that their frames do not have (AVI with frames out of order). Then frames are
// counted from the beginning, which makes jumps slow but right.
bool VideoDecoder::stamps_hold() {
  for (std::size_t i = 0; i < std::min(kReadAhead, stamps_.size()); ++i) {
    if (!receive_frame() || frame_->best_effort_timestamp != stamps_[i]) return false;
  }
  return true;
}

Result<const AVFrame*> VideoDecoder::frame(std::size_t number) {
  if (current_ == number) return frame_.get();
  const bool near = number >= next_ && number - next_ <= kReadAhead;
  for (int attempt = near ? 0 : 1; attempt < 3; ++attempt) {
    // First straight on, then from the key frame before, at last from the beginning.
    if (attempt == 1 && !jump_to(number)) continue;
    if (attempt == 2 && !rewind()) continue;
    current_.reset();
    while (decode_next() && *current_ < number) {
    }
    if (current_ == number) return frame_.get();
  }
  return bad_input(fmt::format("frame {} cannot be decoded", number), path_.string(), "record or copy it again");
}

}  // namespace halfarc
