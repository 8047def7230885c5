// VideoDecoder: the frames of one video stream by number (video.h). Not thread safe.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/frames/ffmpeg.h"
#include "halfarc/frames/input_file.h"

namespace halfarc {

class VideoDecoder {
 public:
  // Opens the file, finds its video stream and counts its frames.
  static Result<VideoDecoder> open(const InputFile& file);

  std::size_t frames() const { return stamps_.size(); }
  const AVStream& stream() const { return *format_->streams[stream_]; }
  const AVFormatContext& container() const { return *format_; }
  std::string codec_name() const { return avcodec_get_name(stream().codecpar->codec_id); }
  bool is_lossy() const;
  std::size_t empty_packets() const { return empty_packets_; }

  // Seconds from the first frame to each, if the container gives every frame a time of its own.
  std::vector<double> frame_seconds() const;

  // The decoded frame, which lives until the next call. Errors: it cannot be decoded.
  Result<const AVFrame*> frame(std::size_t number);

  // Forgets frames from `count` on, which turned out not to be there.
  void keep_first(std::size_t count) { stamps_.resize(count); }

 private:
  explicit VideoDecoder(std::filesystem::path path) : path_(std::move(path)) {}

  Result<void> open_input();
  Result<void> open_codec();
  Result<void> count_frames(const InputFile& file);
  bool count_by_index(std::uint64_t file_bytes);
  void count_by_packets();
  bool receive_frame();
  bool decode_next();
  bool stamps_hold();
  bool jump_to(std::size_t number);
  bool rewind();

  std::filesystem::path path_;
  AvPointer<AVFormatContext> format_;
  AvPointer<AVCodecContext> codec_;
  AvPointer<AVFrame> frame_;
  AvPointer<AVPacket> packet_;
  unsigned stream_ = 0;
  std::vector<std::int64_t> stamps_;  // presentation time of every frame, ascending
  bool has_stamps_ = true;            // stamps are all given and all different
  std::size_t empty_packets_ = 0;     // frames the camera program dropped and marked so
  std::size_t next_ = 0;              // number of the frame decode_next() will give
  std::optional<std::size_t> current_;
  bool draining_ = false;
};

}  // namespace halfarc
