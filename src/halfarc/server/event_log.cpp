#include "halfarc/server/event_log.h"

#include <algorithm>
#include <charconv>

namespace halfarc::server {
namespace {

constexpr std::size_t kMostKept = 512;

}  // namespace

void EventLog::publish(std::string name, std::string data, std::string key) {
  const std::lock_guard lock(mutex_);
  if (!key.empty()) {
    const auto same = std::find_if(kept_.begin(), kept_.end(), [&](const Event& e) { return e.key == key; });
    if (same != kept_.end()) kept_.erase(same);
  }
  kept_.push_back({++newest_, std::move(name), std::move(data), std::move(key)});
  if (kept_.size() > kMostKept) {
    forgotten_ = kept_.front().number;
    kept_.pop_front();
  }
  changed_.notify_all();
}

std::vector<Event> EventLog::after(std::uint64_t number, std::chrono::milliseconds wait) {
  std::unique_lock lock(mutex_);
  changed_.wait_for(lock, wait, [&] { return newest_ > number || closed_; });
  std::vector<Event> events;
  for (const Event& event : kept_) {
    if (event.number > number) events.push_back(event);
  }
  return events;
}

std::uint64_t EventLog::newest() const {
  const std::lock_guard lock(mutex_);
  return newest_;
}

std::string EventLog::id_of(std::uint64_t number) const { return boot_ + "-" + std::to_string(number); }

EventLog::Resume EventLog::resume(std::string_view last_id) const {
  const std::lock_guard lock(mutex_);
  if (last_id.starts_with(boot_ + "-")) {
    last_id.remove_prefix(boot_.size() + 1);
    std::uint64_t number = 0;
    const auto [end, error] = std::from_chars(last_id.data(), last_id.data() + last_id.size(), number);
    const bool read = error == std::errc() && end == last_id.data() + last_id.size();
    if (read && number >= forgotten_ && number <= newest_) return {number, true};
  }
  return {newest_, false};
}

void EventLog::close() {
  const std::lock_guard lock(mutex_);
  closed_ = true;
  changed_.notify_all();
}

bool EventLog::closed() const {
  const std::lock_guard lock(mutex_);
  return closed_;
}

std::string on_the_wire(const Event& event, const std::string& id) {
  return "id: " + id + "\nevent: " + event.name + "\ndata: " + event.data + "\n\n";
}

}  // namespace halfarc::server
