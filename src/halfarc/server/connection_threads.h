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
#include <memory>
#include <mutex>

namespace halfarc::server {

class ConnectionThreads final : public httplib::TaskQueue {
 public:
  explicit ConnectionThreads(std::size_t most) : count_(std::make_shared<Count>(most)) {}
  void enqueue(std::function<void()> work) override;
  void shutdown() override;  // waits until all are done

 private:
  // Each thread owns a share, for the last of them may still be leaving it when the server is gone.
  struct Count {
    explicit Count(std::size_t at_most) : most(at_most) {}
    void one_more();  // once there is room
    void one_less();
    void wait_for_none();

    const std::size_t most;
    std::mutex mutex;
    std::condition_variable ended;
    std::size_t running = 0;
  };
  std::shared_ptr<Count> count_;
};

}  // namespace halfarc::server
