#include "halfarc/server/connection_threads.h"

#include <system_error>
#include <thread>
#include <utility>

namespace halfarc::server {

void ConnectionThreads::Count::one_more() {
  std::unique_lock lock(mutex);
  ended.wait(lock, [&] { return running < most; });
  ++running;
}

void ConnectionThreads::Count::one_less() {
  const std::lock_guard lock(mutex);
  --running;
  ended.notify_all();
}

void ConnectionThreads::Count::wait_for_none() {
  std::unique_lock lock(mutex);
  ended.wait(lock, [&] { return running == 0; });
}

void ConnectionThreads::enqueue(std::function<void()> work) {
  count_->one_more();
  try {
    std::thread([count = count_, work] {
      work();
      count->one_less();
    }).detach();
  } catch (const std::system_error&) {  // the system has no thread left: this one takes it
    work();
    count_->one_less();
  }
}

void ConnectionThreads::shutdown() { count_->wait_for_none(); }

}  // namespace halfarc::server
