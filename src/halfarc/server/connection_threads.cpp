#include "halfarc/server/connection_threads.h"

#include <system_error>
#include <thread>
#include <utility>

namespace halfarc::server {

void ConnectionThreads::enqueue(std::function<void()> work) {
  {
    std::unique_lock lock(mutex_);
    ended_.wait(lock, [&] { return running_ < most_; });
    ++running_;
  }
  const auto run = [this](const std::function<void()>& one) {
    one();
    std::unique_lock lock(mutex_);
    --running_;
    std::notify_all_at_thread_exit(ended_, std::move(lock));
  };
  try {
    std::thread([run, work] { run(work); }).detach();
  } catch (const std::system_error&) {  // the system has no thread left: this one takes it
    work();
    const std::lock_guard lock(mutex_);
    --running_;
  }
}

void ConnectionThreads::shutdown() {
  std::unique_lock lock(mutex_);
  ended_.wait(lock, [&] { return running_ == 0; });
}

}  // namespace halfarc::server
