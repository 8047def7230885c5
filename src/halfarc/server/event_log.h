// EventLog: what happened, in order, for every page that listens: server-sent events with ids and replay.
//
// The last 512 events are kept. Of events with the same key only the newest is (a job's progress), so that a long job
// does not push out what else happened. An id is "BOOT-NUMBER": a page that comes back after a restart with an id of
// the server before is told to read everything anew. Thread safe. Source: [HTML-SSE] for the form on the wire.
#pragma once

#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <deque>
#include <mutex>
#include <string>
#include <string_view>
#include <vector>

namespace halfarc::server {

struct Event {
  std::uint64_t number = 0;  // from 1 up
  std::string name;
  std::string data;  // one line of JSON
  std::string key;   // may be empty
};

class EventLog {
 public:
  // `boot` tells this run of the server from others: letters and digits.
  explicit EventLog(std::string boot) : boot_(std::move(boot)) {}

  void publish(std::string name, std::string data, std::string key = {});

  // Events with higher numbers, at once if there are any, else after `wait` at most.
  std::vector<Event> after(std::uint64_t number, std::chrono::milliseconds wait);

  std::uint64_t newest() const;
  std::string id_of(std::uint64_t number) const;

  // Where to go on for a page that last saw `last_id`. Not `whole` when some of what it missed is gone, or the id is
  // not ours; then `number` is the newest.
  struct Resume {
    std::uint64_t number = 0;
    bool whole = false;
  };
  Resume resume(std::string_view last_id) const;

  // Wakes all who wait; from now on nothing is waited for.
  void close();
  bool closed() const;

 private:
  const std::string boot_;
  mutable std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<Event> kept_;
  std::uint64_t newest_ = 0;
  std::uint64_t forgotten_ = 0;  // the highest number that was dropped without a newer one of its key
  bool closed_ = false;
};

// As it goes over the wire.
std::string on_the_wire(const Event& event, const std::string& id);

}  // namespace halfarc::server
