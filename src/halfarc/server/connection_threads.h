// ConnectionThreads: a thread for each connection, up to a number; then the next waits to be taken up. For the sources
// of this module only.
//
// The library's own pool has a few threads, and an open event stream holds one for hours: ten tabs would lock the owner
// out. A thread that waits costs some 20 KiB.
#pragma once

#include <httplib.h>

#include <condition_variable>
#include <cstddef>
#include <functional>
#include <mutex>

namespace halfarc::server {

class ConnectionThreads final : public httplib::TaskQueue {
 public:
  explicit ConnectionThreads(std::size_t most) : most_(most) {}
  void enqueue(std::function<void()> work) override;
  void shutdown() override;  // waits for all to end

 private:
  const std::size_t most_;
  std::mutex mutex_;
  std::condition_variable ended_;
  std::size_t running_ = 0;
};

}  // namespace halfarc::server
