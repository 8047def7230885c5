// A recording held in memory, for tests that need one to read from.
#pragma once

#include <algorithm>
#include <vector>

#include "halfarc/frames/recording.h"

namespace halfarc::test {

class MemoryRecording final : public Recording {
 public:
  explicit MemoryRecording(RecordingInfo info) : Recording(std::move(info)) { info_.frames = 0; }

  void add(std::vector<std::byte> frame) {
    frames_.push_back(std::move(frame));
    info_.frames = frames_.size();
  }

  Result<void> read(std::size_t first, std::size_t count, std::span<std::byte> into) const override {
    if (first + count > frames_.size()) return bad_input("beyond the end");
    for (std::size_t i = 0; i < count; ++i) {
      std::copy(frames_[first + i].begin(), frames_[first + i].end(),
                into.begin() + static_cast<std::ptrdiff_t>(i * info_.bytes_per_frame()));
    }
    return {};
  }

 private:
  std::vector<std::vector<std::byte>> frames_;
};

}  // namespace halfarc::test
