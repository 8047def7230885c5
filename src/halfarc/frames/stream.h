// Streaming a recording: every frame once, in blocks, on all cores, in bounded memory.
//
// Each worker owns one buffer of about `block_bytes`, reads the next block of whole frames into it and hands it to
// the body. Bodies run concurrently and blocks come in no fixed order, so a body stores what it finds by frame
// number. The first Error stops the stream and is returned.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>
#include <string_view>

#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

struct StreamOptions {
  Threads threads;
  std::size_t block_bytes = std::size_t{1} << 20;  // measured fastest between 256 KiB and 4 MiB (bench/)
};

struct FrameBlock {
  std::size_t first = 0;  // number of the block's first frame in the recording
  std::size_t count = 0;
  std::span<const std::byte> bytes;  // count * bytes_per_frame(), aligned to 64 bytes
};

using BlockBody = std::function<Result<void>(const FrameBlock&)>;

// All frames of the recording.
Result<void> for_each_block(const Recording& recording, const StreamOptions& options, Progress& progress,
                            std::string_view stage, const BlockBody& body);

// The frames whose numbers are listed (ascending), each in a block of its own kind: neighbours are read together.
Result<void> for_each_listed(const Recording& recording, std::span<const std::size_t> numbers,
                             const StreamOptions& options, Progress& progress, std::string_view stage,
                             const BlockBody& body);

// Calls visitor with a std::span<const T> of the samples, T being std::uint8_t, std::uint16_t or float.
template <class Visitor>
decltype(auto) visit_samples(Sample sample, std::span<const std::byte> bytes, Visitor&& visitor) {
  const auto as = [&]<class T>(T*) {
    return std::span<const T>(reinterpret_cast<const T*>(bytes.data()), bytes.size() / sizeof(T));
  };
  switch (sample) {
    case Sample::u8:
      return visitor(as(static_cast<std::uint8_t*>(nullptr)));
    case Sample::u16:
      return visitor(as(static_cast<std::uint16_t*>(nullptr)));
    case Sample::f32:
      break;
  }
  return visitor(as(static_cast<float*>(nullptr)));
}

}  // namespace halfarc
