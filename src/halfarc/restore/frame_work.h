// Work over the frames of a run: reading single ones, and doing the same to many on all threads. For the sources of this
// module only.
#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <string_view>

#include "halfarc/base/parallel.h"
#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/frames/plane.h"
#include "halfarc/frames/recording.h"

namespace halfarc {

// Reads single frames; one buffer a caller.
class FrameReader {
 public:
  explicit FrameReader(const Recording& recording)
      : recording_(recording), buffer_(static_cast<int>(recording.info().bytes_per_frame()), 1) {}
  Result<std::span<const std::byte>> read(std::size_t number) {
    const std::span<std::byte> bytes = buffer_.samples();
    HALFARC_CHECK(recording_.read(number, 1, bytes));
    return std::span<const std::byte>(bytes);
  }

 private:
  const Recording& recording_;
  Plane<std::byte> buffer_;
};

// Runs body(i) -> Result<void> for i in [0, count) on all threads; the first error (lowest index) is returned.
Result<void> for_each_index(std::size_t count, Threads threads, Progress& progress, std::string_view stage,
                            const std::function<Result<void>(std::size_t)>& body);

}  // namespace halfarc
