// FrameIndexer: indexes one frame after another, keeping its scratch between them. One per worker; not shared.
#pragma once

#include <cstddef>
#include <memory>
#include <span>

#include "halfarc/frames/recording.h"
#include "halfarc/measure/index.h"
#include "halfarc/measure/index_kernels.h"

namespace halfarc {

class FrameIndexer {
 public:
  explicit FrameIndexer(const RecordingInfo& info, KernelKind kernels = fastest_kernels());
  ~FrameIndexer();
  FrameIndexer(FrameIndexer&&) noexcept;
  FrameIndexer& operator=(FrameIndexer&&) noexcept;

  // Everything but the sharpness, which needs all frames (grade_sharpness).
  FrameIndex operator()(std::span<const std::byte> frame);

  class Worker;  // one for each sample type

 private:
  std::unique_ptr<Worker> worker_;
};

}  // namespace halfarc
