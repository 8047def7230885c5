#include "halfarc/restore/frame_work.h"

#include <atomic>
#include <mutex>
#include <optional>
#include <utility>

namespace halfarc {

Result<void> for_each_index(std::size_t count, Threads threads, Progress& progress, std::string_view stage,
                            const std::function<Result<void>(std::size_t)>& body) {
  std::mutex mutex;
  std::optional<std::pair<std::size_t, Error>> first;
  std::atomic<std::size_t> done{0};
  std::atomic<bool> stop{false};
  parallel_for(count, threads, [&](std::size_t i) {
    if (stop) return;
    Result<void> outcome = progress.stop_requested() ? Result<void>(cancelled()) : body(i);
    if (!outcome) {
      stop = true;
      const std::lock_guard lock(mutex);
      if (!first || i < first->first) first.emplace(i, std::move(outcome).error());
    }
    progress.report(stage, ++done, count);
  });
  if (first) return std::move(first->second);
  return {};
}

}  // namespace halfarc
