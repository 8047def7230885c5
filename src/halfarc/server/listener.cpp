#include "halfarc/server/listener.h"

#include <httplib.h>

#include <algorithm>
#include <atomic>
#include <cctype>
#include <chrono>
#include <exception>
#include <thread>
#include <utility>

#include "halfarc/server/connection.h"
#include "halfarc/server/connection_threads.h"
#include "halfarc/server/request_guard.h"

namespace halfarc::server {
namespace {

constexpr std::size_t kMostConnections = 256;
constexpr int kMostWaiting = 128;

// The library's server with our connections: their limits, and one request each.
class HttpServer final : public httplib::Server {
 public:
  // The library lets five wait to be taken up; a sixth would try again after a second.
  void let_more_wait() { ::listen(svr_sock_, kMostWaiting); }

 private:
  bool process_and_close_socket(socket_t socket) override {
    Connection connection(socket);
    bool closed = false;
    return process_request(connection, true, closed, nullptr);
  }
};

WebRequest request_of(const httplib::Request& from) {
  WebRequest request;
  request.method = from.method;
  request.path = from.path;
  request.query.insert(from.params.begin(), from.params.end());
  for (const auto& [name, value] : from.headers) {
    std::string lower = name;
    std::transform(lower.begin(), lower.end(), lower.begin(), [](unsigned char c) { return std::tolower(c); });
    request.fields.emplace(std::move(lower), value);
  }
  // The library adds what it knows of the connection to the header; that is not the peer's to say.
  for (const char* own : {"remote_addr", "remote_port", "local_addr", "local_port"}) request.fields.erase(own);
  request.body = from.body;
  request.from = from.remote_addr;
  request.to = from.local_addr;
  request.port = from.local_port;
  return request;
}

void send(WebAnswer answer, httplib::Response& into) {
  into.status = answer.status;
  for (const auto& [name, value] : answer.fields) into.set_header(name, value);
  if (!answer.stream) {
    if (answer.body.empty()) return;
    // Not set_content: the library would compress every answer anew, the script for 0.2 s, for a wire of a few metres.
    const std::size_t size = answer.body.size();
    into.set_content_provider(size, answer.type,
                              [body = std::move(answer.body)](std::size_t from, std::size_t length, httplib::DataSink& sink) {
                                return sink.write(body.data() + from, length);
                              });
    return;
  }
  into.set_chunked_content_provider(
      answer.type, [stream = std::move(answer.stream)](std::size_t, httplib::DataSink& sink) {
        const Send send_on = [&](std::string_view text) { return sink.write(text.data(), text.size()); };
        if (!sink.is_writable()) return false;
        if (!stream(send_on)) sink.done();
        return true;
      });
}

// Refused without our doing: what the library cannot read.
void fill_error(const httplib::Request& request, httplib::Response& response) {
  if (response.has_header("Content-Type")) return;  // it has an answer of ours
  const Error error{ErrorKind::usage, "the request cannot be understood", request.method, "see docs/contracts/http.md"};
  send(error_answer(response.status, error), response);
}

void fill_exception(const httplib::Request&, httplib::Response& response, std::exception_ptr bug) {
  std::string what = "this is a bug in halfarc";
  try {
    std::rethrow_exception(std::move(bug));
  } catch (const std::exception& e) {
    what += std::string(" (") + e.what() + ")";
  } catch (...) {
  }
  send(error_answer(500, failed(what, "", "please report it with what you did")), response);
}

httplib::Headers headers_of_every_answer() {
  return {
      {"Cache-Control", "no-store"},
      {"X-Content-Type-Options", "nosniff"},
      {"Referrer-Policy", "no-referrer"},
      {"Cross-Origin-Resource-Policy", "same-origin"},
      {"Cross-Origin-Opener-Policy", "same-origin"},
      {"Content-Security-Policy",
       "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; "
       "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"},
  };
}

void set_rules(HttpServer& http, const ListenerRules& rules) {
  http.new_task_queue = [] { return new ConnectionThreads(kMostConnections); };
  http.set_payload_max_length(kMostBody);
  http.set_default_headers(headers_of_every_answer());
  http.set_pre_routing_handler([guard = rules.guard](const httplib::Request& request, httplib::Response& response) {
    auto refused = guard(request_of(request));
    if (!refused) return httplib::Server::HandlerResponse::Unhandled;
    send(std::move(*refused), response);
    return httplib::Server::HandlerResponse::Handled;
  });
  http.set_error_handler(httplib::Server::Handler(fill_error));
  http.set_exception_handler(fill_exception);
  const auto answer = [handle = rules.answer](const httplib::Request& request, httplib::Response& response) {
    send(handle(request_of(request)), response);
  };
  http.Get(".*", answer);
  http.Post(".*", answer);
  http.Put(".*", answer);
  http.Delete(".*", answer);
}

}  // namespace

struct Listener::Inside {
  HttpServer http;
  int port = 0;
  std::thread thread;
  std::atomic<bool> ended{false};
};

Listener::Listener(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Listener::~Listener() { stop(); }

Result<std::unique_ptr<Listener>> Listener::open(const std::string& address, int port, ListenerRules rules) {
  auto inside = std::make_unique<Inside>();
  set_rules(inside->http, rules);
  // The library's default would let a second program take the same port and share our connections.
  inside->http.set_socket_options([](socket_t socket) {
    const int yes = 1;
    setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
  });
  if (port == 0) {
    inside->port = inside->http.bind_to_any_port(address);
  } else if (inside->http.bind_to_port(address, port)) {
    inside->port = port;
  }
  if (inside->port <= 0)
    return failed("the port is taken, or may not be used", address + ":" + std::to_string(port),
                  "choose another with --port");
  inside->http.let_more_wait();
  return std::unique_ptr<Listener>(new Listener(std::move(inside)));
}

int Listener::port() const { return inside_->port; }

void Listener::start() {
  inside_->thread = std::thread([inside = inside_.get()] {
    inside->http.listen_after_bind();
    inside->ended = true;
  });
  // stop() before the library says that it runs would do nothing.
  while (!inside_->http.is_running() && !inside_->ended) std::this_thread::sleep_for(std::chrono::milliseconds(1));
}

void Listener::stop() {
  if (!inside_->thread.joinable()) return;
  inside_->http.stop();
  inside_->thread.join();
}

}  // namespace halfarc::server
