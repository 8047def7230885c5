// Listener: the sockets. It turns what comes in into a WebRequest, asks the guard before a body is read, hands the rest
// to the handler, and sends what they answer with the headers that every answer has.
//
// One request a connection: a body that was refused unread can then never be taken for a second request.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "halfarc/base/result.h"
#include "halfarc/server/exchange.h"

namespace halfarc::server {

struct ListenerRules {
  std::function<std::optional<WebAnswer>(const WebRequest&)> guard;  // header only
  std::function<WebAnswer(const WebRequest&)> answer;
};

class Listener {
 public:
  // Binds to an address ("127.0.0.1", "0.0.0.0"); port 0 takes any that is free.
  // Errors (failed): the port is taken, or not ours to take.
  static Result<std::unique_ptr<Listener>> open(const std::string& address, int port, ListenerRules rules);
  ~Listener();
  Listener(const Listener&) = delete;
  Listener& operator=(const Listener&) = delete;

  int port() const;

  // Serves on a thread of its own until stop(), which waits for the answers under way. Streams must have been told to
  // end before.
  void start();
  void stop();

 private:
  struct Inside;
  explicit Listener(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

}  // namespace halfarc::server
