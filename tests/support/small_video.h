// Small video files written with FFmpeg's muxers and encoders.
#pragma once

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/pixdesc.h>
}

#include <cstring>
#include <filesystem>
#include <stdexcept>
#include <string>

#include "small_files.h"

namespace halfarc {

struct SmallVideo {
  std::string codec = "rawvideo";
  AVPixelFormat format = AV_PIX_FMT_GRAY8;
  int width = 8;
  int height = 6;
  int frames = 5;
  int frames_a_second = 25;
  std::string creation_time;  // ISO 8601; empty: none
  unsigned tag = 0;           // fourcc; 0: the container's choice
  int key_distance = 12;
};

inline void check_av(int code, const char* what) {
  if (code < 0) throw std::runtime_error(std::string("FFmpeg refused: ") + what);
}

// Samples into an FFmpeg frame whatever its layout; Bayer and YUV planes are taken as they come.
inline void fill_frame(AVFrame& frame, int number, const SampleAt& sample) {
  const AVPixFmtDescriptor& desc = *av_pix_fmt_desc_get(static_cast<AVPixelFormat>(frame.format));
  const bool bayer = (desc.flags & AV_PIX_FMT_FLAG_BAYER) != 0;
  for (int c = 0; c < (bayer ? 1 : static_cast<int>(desc.nb_components)); ++c) {
    const AVComponentDescriptor& comp = desc.comp[c];
    const int bytes = bayer ? (desc.comp[0].depth > 4 ? 2 : 1) : (comp.depth > 8 ? 2 : 1);
    const bool chroma = !bayer && c > 0 && (desc.flags & AV_PIX_FMT_FLAG_RGB) == 0;
    const int width = chroma ? AV_CEIL_RSHIFT(frame.width, desc.log2_chroma_w) : frame.width;
    const int height = chroma ? AV_CEIL_RSHIFT(frame.height, desc.log2_chroma_h) : frame.height;
    for (int y = 0; y < height; ++y) {
      for (int x = 0; x < width; ++x) {
        const unsigned value = sample(number, x, y, c);
        const bool is_big = (desc.flags & AV_PIX_FMT_FLAG_BE) != 0;
        const std::string raw = is_big ? big(value, bytes) : little(value, bytes);
        const int step = bayer ? bytes : comp.step;
        std::memcpy(frame.data[comp.plane] + y * frame.linesize[comp.plane] + x * step + (bayer ? 0 : comp.offset),
                    raw.data(), raw.size());
      }
    }
  }
}

inline void write_small_video(const std::filesystem::path& path, const SmallVideo& video, const SampleAt& sample) {
  AVFormatContext* format = nullptr;
  check_av(avformat_alloc_output_context2(&format, nullptr, nullptr, path.c_str()), "container");
  const AVCodec* codec = avcodec_find_encoder_by_name(video.codec.c_str());
  if (codec == nullptr) throw std::runtime_error("no encoder " + video.codec);
  AVCodecContext* encoder = avcodec_alloc_context3(codec);
  encoder->width = video.width;
  encoder->height = video.height;
  encoder->pix_fmt = video.format;
  encoder->time_base = {1, video.frames_a_second};
  encoder->gop_size = video.key_distance;
  encoder->codec_tag = video.tag;
  encoder->strict_std_compliance = FF_COMPLIANCE_EXPERIMENTAL;
  if ((format->oformat->flags & AVFMT_GLOBALHEADER) != 0) encoder->flags |= AV_CODEC_FLAG_GLOBAL_HEADER;
  check_av(avcodec_open2(encoder, codec, nullptr), "encoder");
  AVStream* stream = avformat_new_stream(format, nullptr);
  stream->time_base = encoder->time_base;
  stream->avg_frame_rate = {video.frames_a_second, 1};
  check_av(avcodec_parameters_from_context(stream->codecpar, encoder), "parameters");
  stream->codecpar->codec_tag = video.tag;
  if (!video.creation_time.empty()) {
    av_dict_set(&format->metadata, "creation_time", video.creation_time.c_str(), 0);
  }
  check_av(avio_open(&format->pb, path.c_str(), AVIO_FLAG_WRITE), "file");
  check_av(avformat_write_header(format, nullptr), "header");
  AVPacket* packet = av_packet_alloc();
  const auto drain = [&] {
    while (avcodec_receive_packet(encoder, packet) >= 0) {
      av_packet_rescale_ts(packet, encoder->time_base, stream->time_base);
      packet->duration = av_rescale_q(1, encoder->time_base, stream->time_base);
      packet->stream_index = 0;
      check_av(av_interleaved_write_frame(format, packet), "packet");
    }
  };
  for (int i = 0; i < video.frames; ++i) {
    AVFrame* frame = av_frame_alloc();
    frame->format = video.format;
    frame->width = video.width;
    frame->height = video.height;
    frame->pts = i;
    check_av(av_frame_get_buffer(frame, 0), "frame");
    fill_frame(*frame, i, sample);
    check_av(avcodec_send_frame(encoder, frame), "frame");
    av_frame_free(&frame);
    drain();
  }
  avcodec_send_frame(encoder, nullptr);
  drain();
  check_av(av_write_trailer(format), "trailer");
  av_packet_free(&packet);
  avcodec_free_context(&encoder);
  avio_closep(&format->pb);
  avformat_free_context(format);
}

}  // namespace halfarc
