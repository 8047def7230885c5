#include "halfarc/frames/stream.h"

#include <algorithm>
#include <atomic>
#include <limits>
#include <memory>
#include <mutex>
#include <new>
#include <optional>
#include <vector>

namespace halfarc {
namespace {

struct Run {
  std::size_t first;
  std::size_t count;
};

class AlignedBuffer {
 public:
  explicit AlignedBuffer(std::size_t size)
      : bytes_(static_cast<std::byte*>(::operator new(size, std::align_val_t(kAlignment)))), size_(size) {}
  std::span<std::byte> first(std::size_t count) const { return std::span(bytes_.get(), size_).first(count); }

 private:
  static constexpr std::size_t kAlignment = 64;
  struct Free {
    void operator()(std::byte* p) const { ::operator delete(p, std::align_val_t(kAlignment)); }
  };
  std::unique_ptr<std::byte, Free> bytes_;
  std::size_t size_;
};

// Of several errors the one of the earliest block is kept, so that the owner sees the same line every time.
class FirstError {
 public:
  void set(std::size_t block, Error error) {
    const std::lock_guard lock(mutex_);
    if (block < block_) {
      block_ = block;
      error_ = std::move(error);
    }
    any_.store(true, std::memory_order_relaxed);
  }
  bool any() const { return any_.load(std::memory_order_relaxed); }
  Result<void> result() && {
    if (error_) return *std::move(error_);
    return {};
  }

 private:
  std::mutex mutex_;
  std::atomic<bool> any_ = false;
  std::size_t block_ = std::numeric_limits<std::size_t>::max();
  std::optional<Error> error_;
};

std::size_t frames_per_block(const Recording& recording, const StreamOptions& options) {
  return std::max<std::size_t>(1, options.block_bytes / std::max<std::size_t>(1, recording.info().bytes_per_frame()));
}

// `run_at(i)` is the i-th of `blocks` runs of frames; `frames` is their sum and `longest` the longest of them.
template <class RunAt>
Result<void> stream(const Recording& recording, const StreamOptions& options, Progress& progress,
                    std::string_view stage, const BlockBody& body, std::size_t blocks, std::size_t frames,
                    std::size_t longest, const RunAt& run_at) {
  const std::size_t frame_bytes = recording.info().bytes_per_frame();
  const std::size_t workers = std::min(blocks, static_cast<std::size_t>(thread_count(options.threads)));
  std::atomic<std::size_t> next = 0;
  std::atomic<std::size_t> done = 0;
  FirstError failure;

  const auto do_block = [&](std::size_t block, const AlignedBuffer& buffer) -> Result<void> {
    if (progress.stop_requested()) return cancelled();
    const Run run = run_at(block);
    const std::span<std::byte> bytes = buffer.first(run.count * frame_bytes);
    HALFARC_CHECK(recording.read(run.first, run.count, bytes));
    HALFARC_CHECK(body({run.first, run.count, bytes}));
    progress.report(stage, done.fetch_add(run.count, std::memory_order_relaxed) + run.count, frames);
    return {};
  };
  parallel_for(workers, options.threads, [&](std::size_t) {
    if (next.load(std::memory_order_relaxed) >= blocks) return;
    const AlignedBuffer buffer(longest * frame_bytes);
    while (!failure.any()) {
      const std::size_t block = next.fetch_add(1, std::memory_order_relaxed);
      if (block >= blocks) return;
      try {
        if (auto result = do_block(block, buffer); !result) failure.set(block, std::move(result).error());
      } catch (...) {
        next.store(blocks, std::memory_order_relaxed);  // a bug in the body: the other workers need not go on
        throw;
      }
    }
  });
  return std::move(failure).result();
}

}  // namespace

Result<void> for_each_block(const Recording& recording, const StreamOptions& options, Progress& progress,
                            std::string_view stage, const BlockBody& body) {
  const std::size_t frames = recording.info().frames;
  const std::size_t step = frames_per_block(recording, options);
  const std::size_t blocks = (frames + step - 1) / step;
  return stream(recording, options, progress, stage, body, blocks, frames, std::min(step, frames), [&](std::size_t i) {
    return Run{i * step, std::min(step, frames - i * step)};
  });
}

Result<void> for_each_listed(const Recording& recording, std::span<const std::size_t> numbers,
                             const StreamOptions& options, Progress& progress, std::string_view stage,
                             const BlockBody& body) {
  const std::size_t step = frames_per_block(recording, options);
  std::vector<Run> runs;
  std::size_t longest = 0;
  for (const std::size_t number : numbers) {
    const bool joins = !runs.empty() && runs.back().first + runs.back().count == number && runs.back().count < step;
    if (joins) {
      ++runs.back().count;
    } else {
      runs.push_back({number, 1});
    }
    longest = std::max(longest, runs.back().count);
  }
  return stream(recording, options, progress, stage, body, runs.size(), numbers.size(), longest,
                [&](std::size_t i) { return runs[i]; });
}

}  // namespace halfarc
