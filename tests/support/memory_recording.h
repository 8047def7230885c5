// A recording that lies in memory: the real reading interface over samples that a test has made.
#pragma once

#include <cstring>
#include <utility>
#include <vector>

#include "halfarc/frames/recording.h"

namespace halfarc::testing {

class MemoryRecording final : public Recording {
 public:
  MemoryRecording(RecordingInfo info, std::vector<std::byte> samples)
      : Recording(std::move(info)), samples_(std::move(samples)) {
    info_.frames = samples_.size() / info_.bytes_per_frame();
  }

  Result<void> read(std::size_t first, std::size_t count, std::span<std::byte> into) const override {
    if (first + count > info_.frames) return bad_input("frames outside the recording");
    std::memcpy(into.data(), samples_.data() + first * info_.bytes_per_frame(), count * info_.bytes_per_frame());
    return {};
  }

 private:
  std::vector<std::byte> samples_;
};

}  // namespace halfarc::testing
