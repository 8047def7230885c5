#include <nlohmann/json.hpp>

#include <atomic>
#include <memory>

#include "halfarc/server/routes.h"

namespace halfarc::server {
namespace {

constexpr int kMostStreams = 32;
constexpr std::chrono::milliseconds kPatience{500};
constexpr std::chrono::seconds kHeartbeat{10};

// One page that listens: where it is in the log, and a place among the streams while it lasts.
class Listening {
 public:
  Listening(Served& served, std::shared_ptr<std::atomic<int>> streams, const WebRequest& request)
      : served_(served), streams_(std::move(streams)), at_(served.events.resume(request.field("last-event-id"))) {}
  ~Listening() { --*streams_; }
  Listening(const Listening&) = delete;
  Listening& operator=(const Listening&) = delete;

  // False when the page is gone or the server ends.
  bool go_on(const Send& send) {
    if (!greeted_) {
      greeted_ = true;
      return say(send, hello());
    }
    for (const Event& event : served_.events.after(at_.number, kPatience)) {
      if (!say(send, on_the_wire(event, served_.events.id_of(event.number)))) return false;
      at_.number = event.number;
    }
    if (served_.events.closed()) return false;
    return std::chrono::steady_clock::now() - spoke_ < kHeartbeat || say(send, ": still here\n\n");
  }

 private:
  bool say(const Send& send, const std::string& text) {
    spoke_ = std::chrono::steady_clock::now();
    return send(text);
  }

  std::string hello() const {
    const nlohmann::json data{{"version", served_.version},
                              {"home", served_.home.string()},
                              {"watching", served_.watched.string()},
                              {"now_utc", Utc::now().iso()},
                              {"fresh", !at_.whole}};
    const std::string text = data.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
    return "retry: 1000\n" + on_the_wire({at_.number, "hello", text, {}}, served_.events.id_of(at_.number));
  }

  Served& served_;
  std::shared_ptr<std::atomic<int>> streams_;
  EventLog::Resume at_;
  bool greeted_ = false;
  std::chrono::steady_clock::time_point spoke_;
};

}  // namespace

void add_event_routes(Router& router, Served& served) {
  const auto streams = std::make_shared<std::atomic<int>>(0);
  router.add("GET", "/api/events", [&served, streams](const WebRequest& request) {
    if (++*streams > kMostStreams) {
      --*streams;
      WebAnswer answer = error_answer(
          429, {ErrorKind::refused, "too many pages listen", std::to_string(kMostStreams), "close some of them"});
      answer.fields.emplace_back("Retry-After", "5");
      return answer;
    }
    const auto listening = std::make_shared<Listening>(served, streams, request);
    WebAnswer answer;
    answer.type = "text/event-stream";
    answer.stream = [listening](const Send& send) { return listening->go_on(send); };
    return answer;
  });
}

}  // namespace halfarc::server
